/* One whole sync of entries: offer what is kept, take what is new, in short steps until both sides have the same. */
import type { Entry } from "../journal/entry";
import { Gap } from "../store/apply";
import { wipeForRevoked } from "../store/enrolment";
import { refreshJobs } from "../store/jobs";
import { getSyncFacts, noteSync } from "../store/meta";
import { listUnsent } from "../store/outbox";
import { readOutgoing } from "../store/outgoing";
import { throwAwayRemoved } from "../store/refused";
import { isRestored, offerEverythingAgain, setLostAside } from "../store/restore";
import { yieldTurn } from "../store/turns";
import { forgetCollected } from "../store/walk-ins";
import { say } from "../words/bench";
import { type Answer, exchange, type Fetch, type Question } from "./exchange";
import { describe, Revoked, ServerTrouble, SignInAgain } from "./problems";
import { takeAnswer } from "./take";
import { fetchTradeData } from "./trade-data";
import { sendWalkIns } from "./walk-in-lane";

export type SyncDeps = {
  fetch: Fetch;
  now: () => Date;
  version: string;
  /** Called at the end, with the jobs that say more or less than before. */
  changed: (jobs: string[]) => void;
  /** Called when the workshop signed this phone out and its data is gone. */
  signedOut: () => void;
};

export type SyncOutcome = { ok: boolean; message: string; pulled: number; pushed: number };

/** What one sync knows of itself. */
export type Run = {
  limit: number;
  /** Entries that the server failed on: not now. */
  held: Set<string>;
  /** Whether the next request asks without entries: is it them, or the request? */
  probing: boolean;
  pulled: number;
  pushed: number;
  jobs: Set<string>;
};

const BATCH = 1000;
/** Batches become so much smaller after a failure, and larger again after a success. */
const STEP = 4;
const MOST_ROUNDS = 2000;
const REMOVED_STAY_MS = 30 * 86_400_000;

export async function syncOnce(deps: SyncDeps): Promise<SyncOutcome> {
  const run: Run = {
    limit: BATCH,
    held: new Set(),
    probing: false,
    pulled: 0,
    pushed: 0,
    jobs: new Set(),
  };
  let outcome: SyncOutcome;
  try {
    const trouble = await wholeSync(deps, run);
    outcome = outcomeOf(run, true, trouble);
  } catch (error) {
    outcome = await failed(deps, error, run);
  }
  await announce(deps, run);
  return outcome;
}

/** Answers with what could not go although the rest went. */
async function wholeSync(deps: SyncDeps, run: Run): Promise<string> {
  const aboutWalkIns = await sendWalkIns(deps);
  await rounds(deps, run);
  for (const job of await setLostAside(deps.now().toISOString())) run.jobs.add(job);
  for (const job of await fetchTradeData(deps.fetch)) run.jobs.add(job);
  const now = deps.now();
  await throwAwayRemoved(new Date(now.getTime() - REMOVED_STAY_MS).toISOString());
  await forgetCollected();
  const message = aboutWalkIns || heldMessage(run);
  await noteSync({ problem: null, message, since: null, last_at: now.toISOString() });
  return message;
}

async function announce(deps: SyncDeps, run: Run): Promise<void> {
  if (run.jobs.size === 0) return;
  await refreshJobs(run.jobs);
  deps.changed([...run.jobs]);
}

async function rounds(deps: SyncDeps, run: Run): Promise<void> {
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    const { token, question } = await nextQuestion(deps, run);
    const answer = await ask(deps, run, token, question);
    if (!answer) continue;
    const before = question.cursor;
    const { more, cursor, restored } = await takeAnswer(deps, run, question, answer);
    if (restored) {
      // Before the entries of their jobs, as at the beginning of every sync.
      await sendWalkIns(deps);
      continue;
    }
    if (!more && (await listUnsent(1, run.held)).length === 0) return;
    // An answer that says there is more and brings nothing would go round for ever.
    if (more && cursor === before && question.entries.length === 0) throw new Gap(before + 1);
    await yieldTurn();
  }
}

async function nextQuestion(
  deps: SyncDeps,
  run: Run,
): Promise<{ token: string; question: Question }> {
  const { device, facts, ...rest } = await readOutgoing(run.probing ? 0 : run.limit, run.held);
  if (!device) throw new SignInAgain(say("sync.unknown-phone"));
  const question = {
    device: device.device,
    cursor: facts.cursor,
    sent_at: instant(deps.now()),
    epoch: facts.epoch,
    app: deps.version,
    ...rest,
  };
  return { token: device.token, question };
}

const LAST_YEAR = Date.UTC(9999, 11, 31);

/** A clock that runs beyond the years of four digits is wrong anyway; the server must be able to read it. */
function instant(now: Date): string {
  return new Date(Math.min(now.getTime(), LAST_YEAR)).toISOString();
}

/** Nothing when the request has to be made again smaller. */
async function ask(
  deps: SyncDeps,
  run: Run,
  token: string,
  question: Question,
): Promise<Answer | undefined> {
  try {
    const answer = await exchange(deps.fetch, token, question);
    run.probing = false;
    run.limit = Math.min(BATCH, run.limit * STEP);
    return answer;
  } catch (error) {
    const isEntry = error instanceof ServerTrouble && mayBeAnEntry(error);
    if (!isEntry || question.entries.length === 0) throw error;
    makeSmaller(run, question.entries);
    return undefined;
  }
}

/** One entry that makes the server fail must not hold up the rest: it is found by ever smaller batches. */
function makeSmaller(run: Run, entries: Entry[]): void {
  run.limit = Math.ceil(entries.length / STEP);
  if (entries.length > 1) return;
  for (const entry of entries) run.held.add(entry.id);
  // A server that takes no request at all must not be asked once for each entry.
  run.probing = true;
}

/** 429 and 503 are about the server's day, not about an entry. */
function mayBeAnEntry(trouble: ServerTrouble): boolean {
  return [400, 413, 422, 500].includes(trouble.status);
}

async function failed(deps: SyncDeps, error: unknown, run: Run): Promise<SyncOutcome> {
  const { problem, message } = describe(error);
  const at = deps.now().toISOString();
  if (error instanceof Revoked) {
    // What the server had may be gone with a restore; then it is not only there any more.
    if (await isRestored(error.epoch)) await offerEverythingAgain();
    await wipeForRevoked(message, at);
    run.jobs.clear();
    deps.signedOut();
  } else {
    const before = await getSyncFacts();
    // A phone without a name has nobody to ask: why it lost its name stays said.
    if (before.problem === "revoked") return outcomeOf(run, false, before.message);
    const since = before.problem === problem ? before.since : null;
    await noteSync({ problem, message, since: since ?? at });
  }
  return outcomeOf(run, false, message);
}

function heldMessage({ held }: Run): string {
  return held.size === 0 ? "" : say("sync.held", { n: held.size });
}

function outcomeOf(run: Run, ok: boolean, message: string): SyncOutcome {
  return { ok, message, pulled: run.pulled, pushed: run.pushed };
}
