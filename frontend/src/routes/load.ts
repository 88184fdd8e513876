/* Fetches what a page needs from the phone's store: its frame, one job, the person at work. */

import { listHands } from "../store/hands";
import { findJobInWords } from "../store/jobs";
import { readFrameFacts } from "../store/meta";
import { listUnsentIds } from "../store/outbox";
import type { Person } from "../store/schema";
import { countAnew, lastCount } from "../store/tally";
import { describeJob, type JobView } from "../views/job-model";
import type { Kept } from "../views/kept-line";
import type { Frame } from "../views/layout";
import type { Truth } from "../views/truth";
import type { BenchContext, Deps } from "./deps";

/** Later, the way back to the page says it again and nobody needs to be told. */
const FRESH_MS = 60_000;

/** What waits, after something was written. */
export async function loadTruth(c: BenchContext): Promise<Truth> {
  const { truth } = c.var.frame ?? (await loadFrame(c));
  return { ...truth, kept: await lastCount(), running: c.var.deps.syncer.isRunning() };
}

export async function loadFrame(c: BenchContext): Promise<Frame> {
  const { now, syncer, assets } = c.var.deps;
  const [kept, { workshop, person: me, facts, others }, hands] = await Promise.all([
    c.req.method === "GET" ? countAnew() : lastCount(),
    readFrameFacts(),
    showsHands(c) ? listHands() : [],
  ]);
  const clock = { now: now(), timezone: workshop?.timezone ?? "UTC" };
  const truth = { kept, facts, running: syncer.isRunning(), clock };
  const person = workshop?.people.find((each) => each.id === me);
  const hours = workshop?.hours ?? {};
  const frame = { assets, workshop, person, me, hands, hours, others, truth };
  lastFrames.set(c.var.deps, frame);
  c.var.frame = frame;
  return frame;
}

const lastFrames = new WeakMap<Deps, Frame>();

/** The frame as it was loaded last; the person is checked where something is written. */
export async function recallFrame(c: BenchContext): Promise<Frame | undefined> {
  const last = lastFrames.get(c.var.deps);
  if (!last?.me) return undefined;
  const clock = { ...last.truth.clock, now: c.var.deps.now() };
  c.var.frame = { ...last, hands: [], truth: { ...last.truth, clock, kept: await lastCount() } };
  return c.var.frame;
}

/** A part of a page is drawn without the running clock, unless it is about it: an answer to a tick has no time. */
function showsHands(c: BenchContext): boolean {
  return c.req.header("HX-Request") === undefined || c.req.path.endsWith("/hands");
}

/** What was kept on the way to this page, if it stands and the person is still the same. */
export function justKept(c: BenchContext, job: JobView, me: string): Kept | undefined {
  const id = c.req.query("kept");
  const entry = id ? job.entries.find((each) => each.id === id && each.by === me) : undefined;
  const fresh = entry && c.var.deps.now().getTime() - Date.parse(entry.at) < FRESH_MS;
  const replaced = job.entries.some((each) => id && each.supersedes.includes(id));
  return fresh && !replaced ? { job, entry } : undefined;
}

/** To say what was written to it, wherever the job is now. */
export async function loadJobInWords(id: string, people: Person[]): Promise<JobView | undefined> {
  const opened = await findJobInWords(id);
  return opened && describeJob(opened, people);
}

/** With what still waits of it: only the list of what was written tells. */
export async function withUnsent(job: JobView): Promise<JobView> {
  return { ...job, unsent: await listUnsentIds() };
}
