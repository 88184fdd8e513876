/* A workshop's server in memory: takes entries once, numbers them without a hole, and can be told to misbehave. */
import type { Entry } from "../journal/entry";
import type { Step } from "../journal/route";
import type { HeaderRow, JobHeader, OtherPhone, WorkshopInfo } from "../store/schema";
import type { Question } from "../sync/exchange";
import { FakePhotos } from "./fake-photos";

type Numbered = { seq: number; entry: Entry };
type Run = { at: number; count: number; seq: number };
type Refused = { at: number; id: string; code: string; message: string };
type Refusal = { code: string; message: string };
type Misbehaviour = (question: Question) => Response | undefined;

const RECEIVED = "2026-03-02T10:00:00.000Z";

export class FakeServer {
  epoch = "11111111-1111-4111-8111-111111111111";
  token = "good-token";
  revoked = new Set<string>();
  stored: Numbered[] = [];
  jobs: JobHeader[] = [];
  workshop: WorkshopInfo | undefined;
  catalogue: { version: string } = { version: "" };
  others: OtherPhone[] = [];
  page = 1000;
  time = RECEIVED;
  refuse: (entry: Entry) => Refusal | undefined = () => undefined;
  refuseWalkIn: Refusal | undefined;
  misbehave: Misbehaviour = () => undefined;
  /** Given to the next phone that pushes something. */
  copy: { id: string; token: string } | null = null;
  walkIns = new Map<string, Record<string, unknown>>();
  photos = new FakePhotos();
  questions: Question[] = [];
  asked: string[] = [];
  encodings: Array<string | null> = [];
  online = true;

  readonly fetch = async (url: string, init: RequestInit): Promise<Response> => {
    this.asked.push(`${init.method ?? "GET"} ${url}`);
    if (!this.online) throw new TypeError("fetch failed");
    const request = new Request(`http://shop.example.org${url}`, {
      ...init,
      duplex: "half",
    } as RequestInit);
    const token = (request.headers.get("Authorization") ?? "").replace("Bearer ", "");
    if (this.revoked.has(token))
      return problem(401, "revoked", "This phone was signed out.", { epoch: this.epoch });
    if (token !== this.token) return problem(401, "sign-in", "Sign in again.");
    return this.route(url, request);
  };

  /** Something another phone or the desk wrote. */
  add(entry: Entry): void {
    this.stored.push({ seq: this.last() + 1, entry });
  }

  private last(): number {
    return this.stored.at(-1)?.seq ?? 0;
  }

  /** A backup is put back: it knows the first so many entries, and calls itself another server. */
  restore(entries: number, epoch: string): void {
    this.stored = this.stored.slice(0, entries);
    this.epoch = epoch;
  }

  private async route(url: string, request: Request): Promise<Response> {
    if (url === "/api/sync") return this.sync(request);
    if (url === "/api/routes") return this.routes(request);
    if (url === "/api/catalogue") return Response.json(this.catalogue);
    if (url.startsWith("/api/walk-ins/")) return this.walkIn(url, request);
    return this.photos.answer(url, request);
  }

  private async sync(request: Request): Promise<Response> {
    this.encodings.push(request.headers.get("Content-Encoding"));
    const question = (await read(request)) as Question;
    this.questions.push(question);
    return this.misbehave(question) ?? Response.json(this.answer(question));
  }

  private answer(question: Question): unknown {
    const { numbers, refused } = this.take(question.entries);
    const isSame = question.epoch === null || question.epoch === this.epoch;
    const cursor = isSame ? question.cursor : 0;
    const taken = new Set(numbers.values());
    const news = this.stored.filter(({ seq }) => seq > cursor && !taken.has(seq));
    const entries = news.slice(0, this.page);
    const next = news[this.page];
    const device = numbers.size > 0 ? this.copy : null;
    if (device) this.copy = null;
    const digest = JSON.stringify(this.workshop ?? null);
    const isKnown = digest === question.workshop_digest || !this.workshop;
    return {
      epoch: this.epoch,
      device,
      taken: runs(numbers),
      refused,
      entries,
      jobs: cursor === 0 ? this.headers() : [],
      workshop: isKnown ? null : this.workshop,
      workshop_digest: digest,
      others: this.others,
      cursor: next ? next.seq - 1 : Math.max(cursor, this.last()),
      more: next !== undefined,
      server_at: this.time,
    };
  }

  private headers(): HeaderRow[] {
    return this.jobs.map(({ route, ...header }) => ({ ...header, route: nameOf(route) }));
  }

  private take(entries: Entry[]): { numbers: Map<number, number>; refused: Refused[] } {
    const numbers = new Map<number, number>();
    const refused: Refused[] = [];
    for (const [at, entry] of entries.entries()) {
      const refusal = this.refuse(entry);
      if (refusal) {
        refused.push({ at, id: entry.id, ...refusal });
        continue;
      }
      if (!this.numberOf(entry)) this.add(entry);
      numbers.set(at, this.numberOf(entry) ?? 0);
    }
    return { numbers, refused };
  }

  private numberOf({ id }: Entry): number | undefined {
    return this.stored.find((each) => each.entry.id === id)?.seq;
  }

  private async routes(request: Request): Promise<Response> {
    const { routes } = (await read(request)) as { routes: string[] };
    const known = this.jobs.filter(({ route }) => routes.includes(nameOf(route)));
    const steps: Step[] = [];
    const places = known.map(({ route }) => {
      const at = route.map((step) => steps.push(step) - 1);
      return [nameOf(route), at];
    });
    return Response.json({ steps, routes: Object.fromEntries(places) });
  }

  private async walkIn(url: string, request: Request): Promise<Response> {
    const job = url.split("/").at(-1) ?? "";
    if (this.refuseWalkIn) return Response.json(this.refuseWalkIn, { status: 422 });
    const isNew = !this.walkIns.has(job);
    this.walkIns.set(job, (await read(request)) as Record<string, unknown>);
    return Response.json({ job, number: "J-0100" }, { status: isNew ? 201 : 200 });
  }
}

/** A name of the right kind; its bytes need not be the true hash. */
function nameOf(route: Step[]): string {
  let sum = 7;
  for (const letter of JSON.stringify(route)) sum = (sum * 31 + letter.charCodeAt(0)) % 2 ** 31;
  return sum.toString(16).padStart(64, "0");
}

function runs(numbers: Map<number, number>): Run[] {
  const found: Run[] = [];
  for (const [at, seq] of numbers) {
    const last = found.at(-1);
    const goesOn = last && last.at + last.count === at && last.seq + last.count === seq;
    if (goesOn) last.count += 1;
    else found.push({ at, count: 1, seq });
  }
  return found;
}

export function problem(status: number, code: string, message: string, more = {}): Response {
  return Response.json({ code, message, ...more }, { status });
}

async function read(request: Request): Promise<unknown> {
  if (request.headers.get("Content-Encoding") !== "gzip" || !request.body) return request.json();
  return new Response(request.body.pipeThrough(new DecompressionStream("gzip"))).json();
}
