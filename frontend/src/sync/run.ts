/* One whole sync: offer what is kept, take what is new, in short steps until both sides have the same. */
import type { Entry } from "../journal/entry";
import { applyEntries, applyJobs, Gap, offerEverythingAgain, startEpoch } from "../store/apply";
import { refreshJobs } from "../store/jobs";
import { adoptDevice, findDevice, getLastN, getSyncFacts, noteSync } from "../store/meta";
import { listUnsent, markSent, setRefusedAside } from "../store/outbox";
import { yieldTurn } from "../store/turns";
import {
  type Answer,
  exchange,
  type Fetch,
  NoAnswer,
  ServerTrouble,
  SignInAgain,
} from "./exchange";
import { sendPhotos } from "./photo-lane";

export type SyncDeps = {
  fetch: Fetch;
  now: () => Date;
  version: string;
  /** Called after a batch was taken in, with the jobs that changed. */
  changed: (jobs: string[]) => void;
};

export type SyncOutcome = { ok: boolean; message: string; pulled: number; pushed: number };

const BATCH = 500;
const SMALL = 40;
const MOST_ROUNDS = 2000;

type Run = { limit: number; held: Set<string>; pulled: number; pushed: number; jobs: Set<string> };

export async function syncOnce(deps: SyncDeps): Promise<SyncOutcome> {
  const run: Run = { limit: BATCH, held: new Set(), pulled: 0, pushed: 0, jobs: new Set() };
  try {
    await rounds(deps, run);
    await sendPhotos(deps.fetch);
    await noteSync({ problem: null, message: heldMessage(run), last_at: deps.now().toISOString() });
    return outcome(run, true, heldMessage(run));
  } catch (error) {
    return await failed(error, run);
  } finally {
    await finish(deps, run);
  }
}

async function finish(deps: SyncDeps, run: Run): Promise<void> {
  if (run.jobs.size === 0) return;
  await refreshJobs(run.jobs);
  deps.changed([...run.jobs]);
}

async function rounds(deps: SyncDeps, run: Run): Promise<void> {
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    const batch = await listUnsent(run.limit, run.held);
    const answer = await ask(deps, run, batch);
    if (!answer) continue;
    const more = await take(deps, run, answer);
    if (!more && (await listUnsent(1, run.held)).length === 0) return;
    await yieldTurn();
  }
}

/** Nothing when the request has to be made again smaller. */
async function ask(deps: SyncDeps, run: Run, entries: Entry[]): Promise<Answer | undefined> {
  const device = await findDevice();
  if (!device)
    throw new SignInAgain("This phone is not known to the workshop yet. Sign in to make it known.");
  const facts = await getSyncFacts();
  try {
    return await exchange(deps.fetch, device.token, {
      device: device.device,
      cursor: facts.cursor,
      sent_at: deps.now().toISOString(),
      last_n: await getLastN(),
      epoch: facts.epoch,
      app: deps.version,
      entries,
    });
  } catch (error) {
    if (!(error instanceof ServerTrouble) || !mayBeAnEntry(error) || entries.length === 0)
      throw error;
    makeSmaller(run, entries);
    return undefined;
  }
}

/** 429 and 503 are about the server's day, not about an entry. */
function mayBeAnEntry(trouble: ServerTrouble): boolean {
  return [400, 413, 422, 500].includes(trouble.status);
}

/** One entry that makes the server fail must not hold up the rest: find it by halving, then go on without it. */
function makeSmaller(run: Run, entries: Entry[]): void {
  if (entries.length > 1) run.limit = Math.ceil(entries.length / 4);
  else for (const entry of entries) run.held.add(entry.id);
}

/** Takes in one answer; true when there is more to fetch. */
async function take(deps: SyncDeps, run: Run, answer: Answer): Promise<boolean> {
  const facts = await getSyncFacts();
  await noteSync({ clock_offset_ms: Date.parse(answer.server_at) - deps.now().getTime() });
  if (answer.device) await adoptDevice(answer.device);
  if (answer.epoch !== facts.epoch) {
    // Offered first: should this phone stop in between, the old epoch brings it here again.
    if (facts.epoch !== null) await offerEverythingAgain();
    await startEpoch(answer.epoch);
    // The first answer ever belongs to the epoch it names; after a restore everything is asked for again.
    if (facts.epoch !== null) return true;
  }
  await settle(deps, run, answer);
  await applyJobs(answer.jobs, answer.workshop ?? undefined);
  for (const header of answer.jobs) run.jobs.add(header.id);
  await takeEntries(run, answer);
  return answer.more;
}

async function settle(deps: SyncDeps, run: Run, answer: Answer): Promise<void> {
  await markSent(answer.accepted);
  run.pushed += answer.accepted.length;
  if (answer.refused.length === 0) return;
  for (const job of await setRefusedAside(answer.refused, deps.now().toISOString()))
    run.jobs.add(job);
}

async function takeEntries(run: Run, answer: Answer): Promise<void> {
  const before = (await getSyncFacts()).cursor;
  for (let start = 0; start < answer.entries.length; start += SMALL) {
    await yieldTurn();
    const batch = answer.entries.slice(start, start + SMALL) as Array<{
      seq: number;
      entry: Entry;
    }>;
    const { jobs, cursor } = await applyEntries(batch);
    for (const job of jobs) run.jobs.add(job);
    const last = batch.at(-1)?.seq ?? 0;
    if (last > cursor) throw new Gap(cursor + 1, last);
    run.pulled += batch.length;
  }
  // An answer that says there is more and brings nothing would go round for ever.
  const after = (await getSyncFacts()).cursor;
  if (answer.more && after === before && answer.jobs.length === 0)
    throw new Gap(before + 1, answer.cursor);
}

async function failed(error: unknown, run: Run): Promise<SyncOutcome> {
  const [problem, message] = describe(error);
  await noteSync({ problem, message });
  return outcome(run, false, message);
}

function describe(error: unknown): ["offline" | "sign-in" | "server" | "gap", string] {
  if (error instanceof NoAnswer) return ["offline", "no connection"];
  if (error instanceof SignInAgain) return ["sign-in", error.message];
  if (error instanceof Gap) return ["gap", error.message];
  if (error instanceof ServerTrouble) return ["server", error.message];
  throw error;
}

function heldMessage(run: Run): string {
  if (run.held.size === 0) return "";
  const what = run.held.size === 1 ? "1 entry" : `${run.held.size} entries`;
  return `The server cannot take ${what} at the moment; everything else was sent.`;
}

function outcome(run: Run, ok: boolean, message: string): SyncOutcome {
  return { ok, message, pulled: run.pulled, pushed: run.pushed };
}
