/* The way between phones and server: late, twice, cut, lost, or answered by somebody in between. */
import { gunzipSync } from "node:zlib";
import { ORIGIN } from "./globals";
import type { Phone } from "./phone";
import type { Random } from "./random";
import type { Heard, Server } from "./server";
import { EVER, type Owner, type World } from "./world";

/** One phone's connection; `bad` is the share of requests that something happens to. */
export type Line = {
  online: boolean;
  bad: number;
  latency: [number, number];
  bytesPerMs: number;
  random: Random;
};

type Fate =
  | "fine"
  | "lost up"
  | "lost down"
  | "twice"
  | "late"
  | "cut up"
  | "cut down"
  | "status before"
  | "status after"
  | "holed"
  | "strange";

const FATES: Record<Exclude<Fate, "fine">, number> = {
  "lost up": 10,
  "lost down": 14,
  twice: 10,
  late: 6,
  "cut up": 6,
  "cut down": 8,
  "status before": 6,
  "status after": 5,
  holed: 12,
  strange: 2,
};
const STATUSES = [500, 502, 503, 503, 429, 408, 401, 403, 413];

type Asked = { method: string; path: string; headers: Record<string, string>; body: Buffer };
type Trip = {
  phone: Phone;
  run: Owner;
  asked: Asked;
  fate: Fate;
  random: Random;
  resolve: (response: Response) => void;
  reject: (error: Error) => void;
};

export class Network {
  readonly #world: World;
  readonly #server: Server;
  readonly #random: Random;
  #number = 0;

  constructor(world: World, server: Server, random: Random) {
    this.#world = world;
    this.#server = server;
    this.#random = random;
  }

  newLine(name: string): Line {
    const random = this.#random.fork(name);
    return { online: true, bad: 0, latency: [5, 60], bytesPerMs: 500, random };
  }

  nextNumber(): number {
    this.#number += 1;
    return this.#number;
  }

  /** `run` is who waits for the answer: a worker or a page. */
  fetchFrom(phone: Phone, run: Owner, url: string, init: RequestInit): Promise<Response> {
    return new Promise((resolve, reject) => {
      init.signal?.addEventListener("abort", () => reject(init.signal?.reason));
      this.#asked(url, init).then(
        (asked) => this.#send(phone, run, asked, resolve, reject),
        reject,
      );
    });
  }

  async #asked(url: string, init: RequestInit): Promise<Asked> {
    const place = new URL(url, ORIGIN);
    const headers: Record<string, string> = { "accept-encoding": "gzip" };
    new Headers(init.headers).forEach((value, name) => {
      headers[name] = value;
    });
    const body = init.body ? Buffer.from(await new Response(init.body).arrayBuffer()) : null;
    return {
      method: init.method ?? "GET",
      path: place.pathname + place.search,
      headers,
      body: body ?? Buffer.alloc(0),
    };
  }

  #send(
    phone: Phone,
    run: Owner,
    asked: Asked,
    resolve: (response: Response) => void,
    reject: (error: Error) => void,
  ): void {
    const { line } = phone;
    const fate = line.random.chance(line.bad) ? line.random.weighted(FATES) : "fine";
    const trip: Trip = { phone, run, asked, fate, random: line.random, resolve, reject };
    if (!line.online) this.#fail(trip);
    else if (asked.path.startsWith("/api/")) this.#goUp(trip);
    else phone.after(20, run, () => resolve(new Response("the server's own page")));
  }

  /** How long a body takes one way. */
  #takes({ phone, random }: Trip, bytes: number): number {
    const [low, high] = phone.line.latency;
    return random.between(low, high) + bytes / phone.line.bytesPerMs;
  }

  #goUp(trip: Trip): void {
    const { fate, asked, random } = trip;
    const up = this.#takes(trip, asked.body.length);
    if (fate !== "fine") this.#world.count(`network: ${fate}`);
    if (fate === "lost up") this.#failLater(trip);
    else if (fate === "status before") this.#answer(trip, strangerSays(random), up);
    else if (fate === "strange") this.#answer(trip, strangeAnswer(random), up);
    else if (fate === "late") this.#goLate(trip);
    else this.#world.after(up, EVER, () => this.#arrive(trip));
    if (fate === "twice") {
      const again = up + random.between(0, random.chance(0.5) ? 200 : 30_000);
      this.#world.after(again, EVER, () => void this.#reach(trip));
    }
  }

  /** The phone has lost patience long before it arrives. */
  #goLate(trip: Trip): void {
    this.#failLater(trip);
    this.#world.after(trip.random.between(2_000, 90_000), EVER, () => void this.#reach(trip));
  }

  #arrive(trip: Trip): void {
    const { fate, random, phone, asked } = trip;
    const cut = !phone.line.online && random.chance(0.5);
    const heard = cut && random.chance(0.5) ? undefined : this.#reach(trip);
    const isUnheard = cut || fate === "lost down" || fate === "cut up";
    if (!heard || isUnheard) this.#failLater(trip);
    else if (fate === "status after") this.#answer(trip, strangerSays(random), 1);
    else if (fate === "holed") this.#answer(trip, withHole(heard, asked.path, random), 1);
    else this.#answer(trip, heard, this.#takes(trip, heard.body.length));
  }

  /** The server gets it, whole or in part; nothing when it is down or dies over it. */
  #reach({ phone, asked, fate, random }: Trip): Heard | undefined {
    const arrived =
      fate === "cut up"
        ? asked.body.subarray(0, random.int(0, Math.max(0, asked.body.length - 1)))
        : asked.body;
    return this.#server.http(phone.name, { ...asked, body: arrived }, asked.body.length);
  }

  #answer(trip: Trip, heard: Heard, after: number): void {
    const { phone, run, fate, random } = trip;
    phone.after(after, run, () => {
      if (!phone.line.online && random.chance(0.7)) this.#fail(trip);
      else trip.resolve(responseOf(heard, fate === "cut down" ? random : undefined));
    });
  }

  #fail({ phone, run, random, reject }: Trip): void {
    phone.after(random.between(1, 40), run, () => reject(new TypeError("Failed to fetch")));
  }

  /** Some failures are told soon; after others the phone waits until it loses patience. */
  #failLater(trip: Trip): void {
    if (trip.random.chance(0.3)) return;
    trip.phone.after(trip.random.between(50, 4_000), trip.run, () =>
      trip.reject(new TypeError("Failed to fetch")),
    );
  }
}

/** Somebody between phone and server answers in its place. */
function strangerSays(random: Random): Heard {
  const status = random.pick(STATUSES);
  const words = random.chance(0.5)
    ? { type: "text/html", text: "<h1>Not now</h1>" }
    : { type: "application/json", text: JSON.stringify({ code: "busy", message: "Not now." }) };
  return {
    status,
    headers: { "Content-Type": words.type, ...(status === 429 && { "Retry-After": "7" }) },
    body: Buffer.from(words.text),
  };
}

/** A page of somebody else's that looks like success. */
function strangeAnswer(random: Random): Heard {
  const text = random.pick(["<h1>Welcome to the hotel</h1>", "{}", "[]", '{"epoch": null}', ""]);
  return { status: 200, headers: { "Content-Type": "text/html" }, body: Buffer.from(text) };
}

/** One entry of the page is left out, as by a server that reads past a row not yet committed. */
function withHole(heard: Heard, path: string, random: Random): Heard {
  if (path !== "/api/sync" || heard.status !== 200) return heard;
  const plain = heard.headers["Content-Encoding"] === "gzip" ? gunzipSync(heard.body) : heard.body;
  const answer = JSON.parse(plain.toString()) as { entries: unknown[] };
  if (answer.entries.length > 0) answer.entries.splice(random.int(0, answer.entries.length - 1), 1);
  const headers = { "Content-Type": "application/json" };
  return { status: 200, headers, body: Buffer.from(JSON.stringify(answer)) };
}

function responseOf(heard: Heard, cut: Random | undefined): Response {
  const { status } = heard;
  const headers = new Headers(heard.headers);
  const zipped = headers.get("Content-Encoding") === "gzip";
  const bytes = zipped ? gunzipSync(heard.body) : heard.body;
  headers.delete("Content-Encoding");
  headers.delete("Content-Length");
  if (status === 204 || status === 304) return new Response(null, { status, headers });
  if (!cut || bytes.length === 0) return new Response(new Uint8Array(bytes), { status, headers });
  return new Response(brokenOff(bytes, cut), { status, headers });
}

function brokenOff(bytes: Buffer, random: Random): ReadableStream {
  const part = new Uint8Array(bytes.subarray(0, random.int(0, bytes.length - 1)));
  return new ReadableStream({
    start(control) {
      if (part.length > 0) control.enqueue(part);
    },
    pull(control) {
      control.error(new TypeError("network error"));
    },
  });
}
