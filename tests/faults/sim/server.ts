/* The real server as the simulated world has it: up or down, killed half-way, restored; and what it was told. */
import { constants, gunzipSync } from "node:zlib";
import type { Json, Pipe } from "./pipe";
import type { Random } from "./random";
import type { World } from "./world";

export type Heard = { status: number; headers: Record<string, string>; body: Buffer };
export type Asked = {
  method: string;
  path: string;
  headers: Record<string, string>;
  body: Buffer;
};

type Question = { device: string; last_n: number; entries: unknown[] };

export class Server {
  downUntil = 0;
  /** The share of questions over which the process dies. */
  deadly = 0;
  /** The highest count that each device was heard to name, as far as the server answered. */
  told = new Map<string, number>();
  /** How many entries went each way in each sync that was answered. */
  syncs: Array<{ device: string; sent: number; got: number }> = [];
  #toldAtBackup = new Map<string, number>();
  readonly #world: World;
  readonly #pipe: Pipe;
  readonly #random: Random;
  readonly #trouble: (what: string) => void;

  constructor(world: World, pipe: Pipe, random: Random, trouble: (what: string) => void) {
    this.#world = world;
    this.#pipe = pipe;
    this.#random = random;
    this.#trouble = trouble;
  }

  #ask(question: Json): Json {
    const answer = this.#pipe.ask({ now: Math.floor(this.#world.now), ...question });
    if (answer.fatal) throw new Error(String(answer.fatal));
    for (const complaint of answer.complaints as string[]) this.#trouble(`server: ${complaint}`);
    return answer;
  }

  open(seed: string, jobs: number): Json {
    return this.#ask({ do: "open", seed, with: { jobs } });
  }

  picture(): Json {
    return this.#ask({ do: "picture" });
  }

  /** How far each workshop has counted, and in which epoch. */
  standing(): Json {
    return this.#ask({ do: "standing" }).shops as Json;
  }

  signIn(username: string): { cookie: string; csrf: string } {
    return this.#ask({ do: "sign_in", with: { username } }) as { cookie: string; csrf: string };
  }

  /** A code that the desk shows for a phone of this name. */
  code(username: string, name: string): string {
    return String(this.#ask({ do: "code", with: { username, name } }).secret);
  }

  backUp(): void {
    this.#ask({ do: "back_up" });
    this.#toldAtBackup = new Map(this.told);
  }

  restore(): boolean {
    const done = this.#ask({ do: "restore" }).done === true;
    if (done) this.told = new Map(this.#toldAtBackup);
    return done;
  }

  /** Somebody at the desk does something; nothing when the server is down or dies over it. */
  desk(what: string, facts: Json): Json | undefined {
    if (this.#world.now < this.downUntil) return undefined;
    const draw = `${this.#random.name}/${this.#random.next()}`;
    const answer = this.#ask({ do: "desk", with: { what, draw, ...facts }, ...this.#fuse() });
    return answer.killed ? this.#died() : answer;
  }

  /** One request; `length` is what was announced of the body. */
  http(from: string, asked: Asked, length: number): Heard | undefined {
    if (this.#world.now < this.downUntil) return undefined;
    const { method, path, headers, body } = asked;
    const sent = { method, path, headers, body: body.toString("base64"), length };
    const answer = this.#ask({ do: "http", with: sent, ...this.#fuse() });
    this.#world.note(`${from} ${method} ${path} → ${answer.killed ? "killed" : answer.status}`);
    if (answer.killed) return this.#died();
    this.#world.count("requests");
    const heard = {
      status: answer.status as number,
      headers: answer.headers as Record<string, string>,
      body: Buffer.from(answer.body as string, "base64"),
    };
    if (path === "/api/sync" && heard.status === 200) this.#wasTold(asked, heard);
    return heard;
  }

  #fuse(): Json {
    if (!this.#random.chance(this.deadly)) return {};
    return { dies_after: this.#random.int(0, 30) };
  }

  #died(): undefined {
    this.#world.count("server: killed");
    this.downUntil = this.#world.now + this.#random.between(0, 8_000);
    return undefined;
  }

  #wasTold({ headers, body }: Asked, heard: Heard): void {
    const zipped = headers["content-encoding"] === "gzip";
    // Of a body that was cut off in its last bytes everything can be read all the same.
    const plain = zipped ? gunzipSync(body, { finishFlush: constants.Z_SYNC_FLUSH }) : body;
    const asked = JSON.parse(plain.toString()) as Question;
    const { device, last_n, entries } = asked;
    this.told.set(device, Math.max(this.told.get(device) ?? 0, last_n));
    const said = heard.headers["Content-Encoding"] === "gzip" ? gunzipSync(heard.body) : heard.body;
    const answer = JSON.parse(said.toString()) as { entries: unknown[] };
    this.syncs.push({ device, sent: entries.length, got: answer.entries.length });
  }
}
