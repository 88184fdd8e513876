/* A workshop's server in memory: takes entries once, numbers them without a hole, and can be told to misbehave. */
import type { Entry } from "../journal/entry";
import type { JobHeader, WorkshopInfo } from "../store/schema";
import type { Question } from "../sync/exchange";

type Numbered = { seq: number; received_at: string; entry: Entry };
type Misbehaviour = (question: Question) => Response | undefined;

const RECEIVED = "2026-03-02T10:00:00.000Z";

export class FakeServer {
  epoch = "11111111-1111-4111-8111-111111111111";
  token = "good-token";
  stored: Numbered[] = [];
  jobs: JobHeader[] = [];
  workshop: WorkshopInfo | undefined;
  page = 500;
  refuse: (entry: Entry) => { code: string; message: string } | undefined = () => undefined;
  misbehave: Misbehaviour = () => undefined;
  photos = new Map<string, number>();
  photoStatus = 204;
  questions: Question[] = [];
  encodings: Array<string | null> = [];
  online = true;

  readonly fetch = async (url: string, init: RequestInit): Promise<Response> => {
    if (!this.online) throw new TypeError("fetch failed");
    const request = new Request(`http://shop.example.org${url}`, {
      ...init,
      duplex: "half",
    } as RequestInit);
    if (request.headers.get("Authorization") !== `Bearer ${this.token}`) {
      return Response.json({ code: "sign-in", message: "Sign in again." }, { status: 401 });
    }
    return url === "/api/sync" ? this.sync(request) : this.photo(url, request);
  };

  /** Something another phone or the desk wrote. */
  add(entry: Entry): void {
    this.stored.push({ seq: this.stored.length + 1, received_at: RECEIVED, entry });
  }

  private async sync(request: Request): Promise<Response> {
    this.encodings.push(request.headers.get("Content-Encoding"));
    const question = (await read(request)) as Question;
    this.questions.push(question);
    return this.misbehave(question) ?? Response.json(this.answer(question));
  }

  private answer(question: Question): unknown {
    const { accepted, refused } = this.take(question.entries);
    const cursor = question.epoch === null || question.epoch === this.epoch ? question.cursor : 0;
    const news = this.stored.filter((each) => each.seq > cursor);
    const entries = news.slice(0, this.page);
    return {
      epoch: this.epoch,
      accepted,
      refused,
      entries,
      jobs: cursor === 0 ? this.jobs : [],
      ...(this.workshop && { workshop: this.workshop }),
      cursor: entries.at(-1)?.seq ?? cursor,
      more: news.length > entries.length,
      server_at: RECEIVED,
    };
  }

  private take(entries: Entry[]) {
    const accepted: string[] = [];
    const refused: Array<{ id: string; code: string; message: string }> = [];
    for (const entry of entries) {
      const refusal = this.refuse(entry);
      if (refusal) {
        refused.push({ id: entry.id, ...refusal });
        continue;
      }
      if (!this.stored.some((each) => each.entry.id === entry.id)) this.add(entry);
      accepted.push(entry.id);
    }
    return { accepted, refused };
  }

  private async photo(url: string, request: Request): Promise<Response> {
    const sha256 = url.split("/").at(-1) ?? "";
    if (request.method === "GET") return new Response(null, { status: 404 });
    if (this.photoStatus !== 204) {
      return Response.json(
        { code: "not-a-photo", message: "That is no picture." },
        { status: this.photoStatus },
      );
    }
    this.photos.set(sha256, (await request.arrayBuffer()).byteLength);
    return new Response(null, { status: 204 });
  }
}

async function read(request: Request): Promise<unknown> {
  if (request.headers.get("Content-Encoding") !== "gzip" || !request.body) return request.json();
  return new Response(request.body.pipeThrough(new DecompressionStream("gzip"))).json();
}
