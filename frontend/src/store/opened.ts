/*
 * Jobs that were read and folded a moment ago, kept in memory. What is kept here is used only while the job's row
 * still carries the mark it was read under: every writer changes the mark or calls the row stale.
 */
import type { Entry } from "../journal/entry";
import { fold } from "../journal/fold";
import { fullRoute, type Progress, progress } from "../journal/progress";
import type { Step } from "../journal/route";
import type { JobState } from "../journal/state";
import type { JobHeader, JobRow } from "./schema";

/** A job with all its entries and what they come to. Shared by whoever asks: not to be changed. */
export type OpenedJob = {
  header: JobHeader;
  entries: readonly Entry[];
  state: JobState;
  /** The frozen route with the added work. */
  route: Step[];
  where: Progress;
};

export function open(header: JobHeader, entries: readonly Entry[]): OpenedJob {
  const state = fold(entries);
  const route = fullRoute(header.route, state);
  return { header, entries, state, route, where: progress(route, state) };
}

const MOST = 4;

export type Remembered = { mark: string; job: OpenedJob };

// By connection: a database that was deleted and made anew is another one.
const memories = new WeakMap<object, Map<string, Remembered>>();

/** The job as it stands in the row's database, if it is in memory. */
export function recall(database: object, row: JobRow | undefined): OpenedJob | undefined {
  if (row?.mark === undefined || row.stale) return undefined;
  const found = memories.get(database)?.get(row.id);
  return found?.mark === row.mark ? found.job : undefined;
}

/** As this worker saw it last: for the answer to what it has just written. */
export function lastSeen(database: object, id: string): Remembered | undefined {
  return memories.get(database)?.get(id);
}

/** To be called when the row is committed: what is in memory was true once. */
export function remember(database: object, { row, job }: { row: JobRow; job: OpenedJob }): void {
  if (row.mark === undefined || row.stale) return;
  const memory = memories.get(database) ?? new Map<string, Remembered>();
  memories.set(database, memory);
  memory.delete(row.id);
  memory.set(row.id, { mark: row.mark, job });
  for (const id of memory.keys()) if (memory.size > MOST) memory.delete(id);
}
