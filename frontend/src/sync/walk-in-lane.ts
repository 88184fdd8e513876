/* Walk-ins travel before the entries: the server must know a job before anything can be written to it. */
import * as v from "valibot";
import { findDevice } from "../store/meta";
import type { Refusal } from "../store/refusal";
import type { WalkInRow } from "../store/schema";
import { yieldTurn } from "../store/turns";
import { listUnsentWalkIns, markWalkInRefused, markWalkInSent } from "../store/walk-ins";
import { say } from "../words/bench";
import { type Fetch, reach, refuseBadStatus } from "./exchange";
import { packed } from "./pack";
import { ServerTrouble } from "./problems";

const Taken = v.object({ number: v.string() });

/**
 * Sends what was taken in here, each safe to repeat because the job's id was made on this phone. Answers
 * with the server's sentence when it could not take one just now: that one waits, the others go.
 */
export async function sendWalkIns({ fetch }: { fetch: Fetch }): Promise<string> {
  const device = await findDevice();
  if (!device) return "";
  let trouble = "";
  for (const walkIn of await listUnsentWalkIns()) {
    try {
      await sendOne(fetch, device.token, walkIn);
    } catch (error) {
      if (!(error instanceof ServerTrouble)) throw error;
      trouble ||= error.message;
    }
    await yieldTurn();
  }
  return trouble;
}

async function sendOne(fetcher: Fetch, token: string, walkIn: WalkInRow): Promise<void> {
  const { body, encoding } = await packed(JSON.stringify(wired(walkIn)));
  const response = await reach(fetcher, `/api/walk-ins/${walkIn.id}`, {
    method: "PUT",
    headers: {
      Authorization: `Bearer ${token}`,
      "Content-Type": "application/json",
      Accept: "application/json",
      ...encoding,
    },
    body,
  });
  const refusal = await refusalIn(response);
  if (refusal) return markWalkInRefused(walkIn.id, refusal);
  await refuseBadStatus(response);
  await markWalkInSent(walkIn.id, await numberIn(response));
}

function wired(row: WalkInRow) {
  const { customer_name, phone, bike_words, traits, service, says } = row;
  const { go_ahead_minor, opened_at, by, catalogue, steps } = row;
  return {
    ...{ customer_name, phone, bike_words, traits, service, says },
    ...{ go_ahead_minor, opened_at, by, catalogue, steps },
  };
}

async function numberIn(response: Response): Promise<string> {
  const parsed = v.safeParse(Taken, await response.json().catch(() => null));
  if (!parsed.success)
    throw new ServerTrouble(200, say("sync.unreadable", { where: say("sync.whole-answer") }));
  return parsed.output.number;
}

/** These are about the walk-in itself; sending the same again would be refused again. */
const REFUSED = new Set([400, 409, 413, 422]);

async function refusalIn(response: Response): Promise<Refusal | undefined> {
  if (!REFUSED.has(response.status)) return undefined;
  const said = (await response
    .clone()
    .json()
    .catch(() => null)) as Partial<Refusal> | null;
  if (typeof said?.message !== "string") return undefined;
  return { code: String(said.code ?? response.status), message: said.message };
}
