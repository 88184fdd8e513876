/* One round trip with the server: a gzipped question, a checked answer, and a name for each way it can fail. */
import * as v from "valibot";
import type { Entry } from "../journal/entry";
import { SyncAnswer } from "./wire";

export type Answer = v.InferOutput<typeof SyncAnswer>;
export type Fetch = (url: string, init: RequestInit) => Promise<Response>;

export type Question = {
  device: string;
  cursor: number;
  sent_at: string;
  last_n: number;
  epoch: string | null;
  app: string;
  entries: Entry[];
};

const TIME_LIMIT_MS = 60_000;

/** No answer came: no signal, a timeout, or a server that is down. */
export class NoAnswer extends Error {}
/** The token is unknown, revoked or too old: keep everything and ask to sign in. */
export class SignInAgain extends Error {}
/** The server could not take this request, for the reason it gives. */
export class ServerTrouble extends Error {
  readonly status: number;
  constructor(status: number, message: string) {
    super(message);
    this.status = status;
  }
}

export async function exchange(fetcher: Fetch, token: string, question: Question): Promise<Answer> {
  const { body, encoding } = await packed(JSON.stringify(question));
  const response = await reach(fetcher, "/api/sync", {
    method: "POST",
    headers: {
      Authorization: `Bearer ${token}`,
      "Content-Type": "application/json",
      Accept: "application/json",
      ...encoding,
    },
    body,
  });
  await refuseBadStatus(response);
  return checked(await response.json().catch(() => null));
}

export async function reach(fetcher: Fetch, url: string, init: RequestInit): Promise<Response> {
  try {
    return await fetcher(url, {
      ...init,
      credentials: "omit",
      signal: AbortSignal.timeout(TIME_LIMIT_MS),
    });
  } catch {
    throw new NoAnswer("no connection");
  }
}

export async function refuseBadStatus(response: Response): Promise<void> {
  if (response.ok) return;
  if (response.status === 401 || response.status === 403) {
    throw new SignInAgain("Sign in again to send what is kept on this phone.");
  }
  const said = (await response.json().catch(() => null)) as { message?: unknown } | null;
  const message =
    typeof said?.message === "string" ? said.message : `The server answered ${response.status}.`;
  throw new ServerTrouble(response.status, message);
}

function checked(body: unknown): Answer {
  const parsed = v.safeParse(SyncAnswer, body);
  if (parsed.success) return parsed.output;
  const where = v.getDotPath(parsed.issues[0]) ?? "the whole answer";
  throw new ServerTrouble(
    200,
    `The server's answer could not be read (${where}). Everything stays on this phone.`,
  );
}

async function packed(text: string): Promise<{ body: BodyInit; encoding: Record<string, string> }> {
  if (typeof CompressionStream === "undefined") return { body: text, encoding: {} };
  const stream = new Response(text).body?.pipeThrough(new CompressionStream("gzip"));
  const body = await new Response(stream).arrayBuffer();
  return { body, encoding: { "Content-Encoding": "gzip" } };
}
