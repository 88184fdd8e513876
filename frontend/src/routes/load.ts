/* Fetches what a page needs from the phone's store: its frame, one job, the person at work. */
import { findJob } from "../store/jobs";
import { readFrameFacts } from "../store/meta";
import { countKept, listUnsentIds } from "../store/outbox";
import type { Person } from "../store/schema";
import { describeJob, type JobView } from "../views/job-model";
import type { Frame } from "../views/layout";
import type { Truth } from "../views/truth";
import type { BenchContext } from "./deps";

export async function loadTruth(c: BenchContext): Promise<Truth> {
  return (await loadFrame(c)).truth;
}

export async function loadFrame(c: BenchContext): Promise<Frame> {
  const { now, syncer, assets } = c.var.deps;
  const [kept, { workshop, person: me, facts }] = await Promise.all([
    countKept(),
    readFrameFacts(),
  ]);
  const clock = { now: now(), timezone: workshop?.timezone ?? "UTC" };
  const truth = { kept, facts, running: syncer.isRunning(), clock };
  const person = workshop?.people.find((each) => each.id === me);
  return { assets, workshop, person, me, truth };
}

export async function loadJob(id: string, people: Person[]): Promise<JobView | undefined> {
  const [opened, unsent] = await Promise.all([findJob(id), listUnsentIds()]);
  return opened && describeJob(opened, people, unsent);
}
