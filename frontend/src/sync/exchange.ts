/* One round trip with the server: a gzipped question, a checked answer, and a name for each way it can fail. */
import * as v from "valibot";
import type { Entry } from "../journal/entry";
import type { SetAside } from "../store/outbox";
import type { OpenJob, StorageState } from "../store/schema";
import { later } from "../store/timers";
import { say } from "../words/bench";
import { packed } from "./pack";
import { NoAnswer, Revoked, ServerTrouble, SignInAgain } from "./problems";
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
  /** Further entries follow at once. */
  more: boolean;
  /** What will still wait when these entries are taken. */
  unsent: { entries: number; photos: number; walk_ins: number; oldest_at: string | null };
  storage: StorageState;
  open: OpenJob | null;
  /** Numbers that are shown here as refused, for a server that was restored and does not know it refused them. */
  set_aside: SetAside[];
  workshop_digest: string;
};

const TIME_LIMIT_MS = 60_000;

export async function exchange(fetcher: Fetch, token: string, question: Question): Promise<Answer> {
  return askJson(fetcher, token, "/api/sync", SyncAnswer, question);
}

/** A question and an answer of JSON; without a question it is only fetched. */
export async function askJson<Schema extends v.GenericSchema>(
  fetcher: Fetch,
  token: string,
  url: string,
  schema: Schema,
  question?: unknown,
): Promise<v.InferOutput<Schema>> {
  const { body, encoding } =
    question === undefined ? { encoding: {} } : await packed(JSON.stringify(question));
  const response = await reach(fetcher, url, {
    method: body === undefined ? "GET" : "POST",
    headers: {
      Authorization: `Bearer ${token}`,
      ...(body !== undefined && { "Content-Type": "application/json" }),
      Accept: "application/json",
      ...encoding,
    },
    ...(body !== undefined && { body }),
  });
  await refuseBadStatus(response);
  return checked(schema, await response.json().catch(() => null));
}

/** The whole answer, or none: a body that is cut off half-way is no answer. */
export async function reach(fetcher: Fetch, url: string, init: RequestInit): Promise<Response> {
  const limit = new AbortController();
  const stop = later(TIME_LIMIT_MS, () => limit.abort());
  try {
    const response = await fetcher(url, { ...init, credentials: "omit", signal: limit.signal });
    const body = await response.arrayBuffer();
    const { status, headers } = response;
    return new Response(body.byteLength > 0 ? body : null, { status, headers });
  } catch {
    throw new NoAnswer("no answer");
  } finally {
    stop();
  }
}

/** Not the page of somebody on the way who answers everything with 200. */
export function isPicture({ ok, headers }: Response): boolean {
  return ok && (headers.get("Content-Type") ?? "").startsWith("image/");
}

export function refuseWhatIsNoPicture(response: Response): void {
  if (isPicture(response)) return;
  throw new ServerTrouble(
    response.status,
    say("sync.unreadable", { where: say("sync.whole-answer") }),
  );
}

type Said = { code?: unknown; message?: unknown; epoch?: unknown } | null;

export async function refuseBadStatus(response: Response): Promise<void> {
  if (response.ok) return;
  const said = (await response.json().catch(() => null)) as Said;
  const sentence = typeof said?.message === "string" ? said.message : undefined;
  if (response.status === 401 && said?.code === "revoked")
    throw new Revoked(sentence ?? say("sync.revoked"), epochIn(said));
  if (response.status === 401 || response.status === 403)
    throw new SignInAgain(say("sync.sign-in"));
  throw new ServerTrouble(
    response.status,
    sentence ?? say("sync.answered", { status: response.status }),
  );
}

function epochIn(said: Said): string | undefined {
  return typeof said?.epoch === "string" ? said.epoch : undefined;
}

function checked<Schema extends v.GenericSchema>(
  schema: Schema,
  body: unknown,
): v.InferOutput<Schema> {
  const parsed = v.safeParse(schema, body);
  if (parsed.success) return parsed.output;
  const [issue] = parsed.issues;
  const where = (issue && v.getDotPath(issue)) ?? say("sync.whole-answer");
  throw new ServerTrouble(200, say("sync.unreadable", { where }));
}
