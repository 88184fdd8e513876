/* Takes in one answer of the server: what became of the entries sent, and what is new. */
import {
  applyEntries,
  applyJobs,
  applyOthers,
  applyWorkshop,
  Gap,
  type Numbered,
} from "../store/apply";
import { adoptDevice } from "../store/enrolment";
import { getSyncFacts, noteSync } from "../store/meta";
import { markTaken, type Run as Numbers } from "../store/outbox";
import { type RefusedEntry, setRefusedAside } from "../store/refused";
import { offerEverythingAgain, startEpoch } from "../store/restore";
import type { HeaderRow, SyncFacts } from "../store/schema";
import { forgetPhotosOf, wantThumbs } from "../store/thumbs";
import { batchSize, yieldTurn } from "../store/turns";
import { say } from "../words/bench";
import type { Answer, Question } from "./exchange";
import { ServerTrouble } from "./problems";
import type { Run, SyncDeps } from "./run";

type Taken = {
  more: boolean;
  cursor: number;
  /** The server was restored: all that was made here waits again, walk-ins too. */
  restored: boolean;
};

/** A clock is compared to the second: less is the network's doing and not worth writing down. */
const CLOCK_STEP_MS = 2000;

export async function takeAnswer(
  deps: SyncDeps,
  run: Run,
  question: Question,
  answer: Answer,
): Promise<Taken> {
  accountForAll(question, answer);
  const facts = await getSyncFacts();
  await noteClock(deps, facts, answer);
  if (answer.device) await adoptDevice({ device: answer.device.id, token: answer.device.token });
  if (answer.epoch !== facts.epoch) {
    // Offered first: should this phone stop in between, the old epoch brings it here again.
    if (facts.epoch !== null) await offerEverythingAgain();
    await startEpoch(answer.epoch);
    // The first answer ever belongs to the epoch it names; after a restore everything is asked for again.
    if (facts.epoch !== null) return { more: true, cursor: 0, restored: true };
  }
  await settle(deps, run, question, answer);
  await takeNews(run, question, answer);
  const cursor = await takeEntries(run, facts, answer);
  return { more: answer.more, cursor, restored: false };
}

/** Each entry of the request is taken or refused; what the answer forgets would be lost. */
function accountForAll({ entries }: Question, { taken, refused }: Answer): void {
  const told = new Array<number>(entries.length).fill(0);
  const count = (at: number) => {
    told[at] = at < entries.length ? (told[at] ?? 0) + 1 : Number.NaN;
  };
  for (const run of taken) for (let step = 0; step < run.count; step += 1) count(run.at + step);
  for (const { at } of refused) count(at);
  if (!told.every((times) => times === 1))
    throw new ServerTrouble(200, say("sync.unreadable", { where: "taken" }));
}

async function noteClock(deps: SyncDeps, facts: SyncFacts, answer: Answer): Promise<void> {
  const offset = Date.parse(answer.server_at) - deps.now().getTime();
  if (Math.abs(offset - facts.clock_offset_ms) < CLOCK_STEP_MS) return;
  await noteSync({ clock_offset_ms: offset });
}

async function settle(
  deps: SyncDeps,
  run: Run,
  { entries }: Question,
  { taken, refused }: Answer,
): Promise<void> {
  await markTaken(entries, taken);
  for (const { count } of taken) run.pushed += count;
  if (refused.length === 0) return;
  const refusals: RefusedEntry[] = refused.flatMap(({ at, code, message }) => {
    const entry = entries[at];
    return entry ? [{ id: entry.id, code, message }] : [];
  });
  for (const job of await setRefusedAside(refusals, deps.now().toISOString())) run.jobs.add(job);
}

async function takeNews(run: Run, question: Question, answer: Answer): Promise<void> {
  for (const job of await applyJobs(answer.jobs as HeaderRow[])) run.jobs.add(job);
  if (answer.workshop && answer.workshop_digest !== question.workshop_digest)
    await applyWorkshop(answer.workshop, answer.workshop_digest);
  for (const job of await applyOthers(answer.others)) run.jobs.add(job);
}

/** Returns how far the numbers are here now. */
async function takeEntries(run: Run, facts: SyncFacts, answer: Answer): Promise<number> {
  const numbers: Numbers[] = answer.taken;
  const entries = answer.entries as Numbered[];
  let reached = facts.epoch === answer.epoch ? facts.cursor : 0;
  let start = 0;
  while (start < entries.length) {
    const batch = entries.slice(start, start + batchSize());
    const { jobs, cursor } = await applyEntries(batch, numbers);
    for (const job of jobs) run.jobs.add(job);
    await lookForPhotos(batch);
    if ((batch.at(-1)?.seq ?? 0) > cursor) throw new Gap(cursor + 1);
    run.pulled += batch.length;
    start += batch.length;
    reached = cursor;
    await yieldTurn();
  }
  if (entries.length === 0 && answer.cursor > reached)
    reached = (await applyEntries([], numbers)).cursor;
  if (answer.cursor > reached) throw new Gap(reached + 1);
  return reached;
}

const SHA256 = /^[0-9a-f]{64}$/;

/** Photos of others are fetched small later on; what was redacted is not kept. */
async function lookForPhotos(batch: Numbered[]): Promise<void> {
  const entries = batch.map(({ entry }) => entry);
  const photos = entries.flatMap(({ kind, job, body }) => {
    const sha256 = kind === "photo" ? String(body.sha256) : "";
    return SHA256.test(sha256) ? [{ sha256, job }] : [];
  });
  await wantThumbs(photos);
  const redacted = entries.filter(({ kind }) => kind === "redacted");
  await forgetPhotosOf(redacted.map(({ body }) => String(body.entry)));
}
