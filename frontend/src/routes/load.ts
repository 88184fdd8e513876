/* Fetches what a page needs from the phone's store: its frame, one job, the person at work. */
import { findJob } from "../store/jobs";
import { findPerson, findWorkshop, getSyncFacts } from "../store/meta";
import { countKept } from "../store/outbox";
import type { Person } from "../store/schema";
import { describeJob, type JobView } from "../views/job-model";
import type { Frame } from "../views/layout";
import type { Truth } from "../views/truth";
import type { BenchContext } from "./deps";

export async function loadTruth(c: BenchContext): Promise<Truth> {
  const { now, syncer } = c.var.deps;
  const [kept, facts, workshop] = await Promise.all([countKept(), getSyncFacts(), findWorkshop()]);
  const clock = { now: now(), timezone: workshop?.timezone ?? "UTC" };
  return { kept, facts, running: syncer.isRunning(), clock };
}

export async function loadFrame(c: BenchContext): Promise<Frame> {
  const [truth, workshop, me] = await Promise.all([loadTruth(c), findWorkshop(), findPerson()]);
  const person = workshop?.people.find((each) => each.id === me);
  return { assets: c.var.deps.assets, workshop, person, truth };
}

export async function loadJob(id: string, people: Person[]): Promise<JobView | undefined> {
  const source = await findJob(id);
  return source ? describeJob(source, people) : undefined;
}
