/* Reads jobs: the list from its summaries, one job with all its entries. */
import type { IDBPObjectStore } from "idb";
import type { Entry } from "../journal/entry";
import type { Step } from "../journal/route";
import { edit, withDatabase } from "./database";
import { lastSeen, type OpenedJob, open, type Remembered, recall, remember } from "./opened";
import { findRoute } from "./routes";
import {
  type BenchDatabase,
  GONE,
  type HeaderRow,
  type JobBrief,
  type JobRow,
  type ListedJob,
} from "./schema";
import { summarise } from "./summary";

/** Jobs still in the house, the next promised first, the unpromised last. */
export async function listJobs(): Promise<ListedJob[]> {
  await refreshStale();
  return (await rowsInHouse()).flatMap(listedFrom).sort(inPromiseOrder);
}

const rowsInHouse = (): Promise<JobRow[]> =>
  withDatabase((database) => database.getAllFromIndex("jobs", "house"));

function listedFrom({ brief, summary, waits }: JobRow): ListedJob[] {
  return brief && summary && waits === undefined ? [{ header: brief, summary }] : [];
}

function inPromiseOrder(one: ListedJob, other: ListedJob): number {
  const key = ({ header, summary }: ListedJob) =>
    `${summary.readyAt ?? header.promised_at ?? "9999"} ${header.number}`;
  return key(one) < key(other) ? -1 : 1;
}

/** Jobs in the house that cannot be shown yet: their routes are still to be fetched. */
export async function listComing(): Promise<JobBrief[]> {
  const rows = await withDatabase((database) => database.getAllFromIndex("jobs", "waits"));
  return rows.flatMap(({ house, brief }) => (house && brief ? [brief] : []));
}

export async function countJobs(): Promise<number> {
  return withDatabase((database) => database.countFromIndex("jobs", "house"));
}

/** As it was read or written last by this worker, without a look into the database. */
export async function recallJob(id: string): Promise<Remembered | undefined> {
  return withDatabase(async (database) => lastSeen(database, id));
}

/** To work on; one that the server does not know takes no entries any more. */
export async function findJob(id: string): Promise<OpenedJob | undefined> {
  return openJob(id, (row) => row.unknown === undefined);
}

/** To say in words what was written to it, wherever it is now. */
export async function findJobInWords(id: string): Promise<OpenedJob | undefined> {
  return openJob(id, () => true);
}

async function openJob(id: string, may: (row: JobRow) => boolean): Promise<OpenedJob | undefined> {
  return withDatabase(async (database) => {
    const tx = database.transaction(["jobs", "headers", "routes", "entries"]);
    // What is not in memory is read together with the row: each way to the disk and back counts.
    const whole = lastSeen(database, id) ? undefined : readWhole(tx, id);
    const [row, read] = await Promise.all([tx.objectStore("jobs").get(id), whole]);
    return row && may(row) ? openIn(tx, row, read) : undefined;
  });
}

type Reading = {
  db: object;
  objectStore: <S extends "headers" | "routes" | "entries">(
    name: S,
  ) => IDBPObjectStore<BenchDatabase, never, S, IDBTransactionMode>;
};

type Whole = { header: HeaderRow | undefined; route: Step[] | undefined; entries: Entry[] };

async function readWhole(tx: Reading, id: string): Promise<Whole> {
  const asked = tx.objectStore("headers").get(id);
  const [header, route, rows] = await Promise.all([
    asked,
    asked.then((found) => found && findRoute(tx, found.route)),
    tx.objectStore("entries").index("job").getAll(id),
  ]);
  return { header, route, entries: rows.map(({ entry }) => entry) };
}

/** The job of a row as a running transaction sees it; nothing while its header or its route are still to come. */
export async function openIn(
  tx: Reading,
  row: JobRow,
  read?: Whole,
): Promise<OpenedJob | undefined> {
  const known = recall(tx.db, row);
  if (known) return known;
  const { header, route, entries } = read ?? (await readWhole(tx, row.id));
  if (!header || !route) return undefined;
  const job = open({ ...header, route }, entries);
  remember(tx.db, { row, job });
  return job;
}

/** Folds again every job whose entries came in since its summary was written. */
export async function refreshStale(): Promise<void> {
  const stale = (row: JobRow) => (row.stale || !row.summary) && row.brief && !row.waits;
  await refreshJobs((await rowsInHouse()).filter(stale).map((row) => row.id));
}

/** The same for these jobs alone: what a running sync has just brought. */
export async function refreshJobs(ids: Iterable<string>): Promise<void> {
  for (const id of ids) await refreshSummary(id);
}

async function refreshSummary(id: string): Promise<void> {
  const done = await edit(["jobs", "headers", "routes", "entries"], async (tx) => {
    const row = await tx.objectStore("jobs").get(id);
    if (!row?.house || (row.summary && !row.stale)) return undefined;
    const job = await openIn(tx, row);
    if (!job) return undefined;
    const change = summed(row, job);
    await tx.objectStore("jobs").put(change.row);
    return { database: tx.db, change };
  });
  if (done) remember(done.database, done.change);
}

/** A job and its row, with a new summary and a new mark. */
export type Change = { row: JobRow; job: OpenedJob };

export function summed(before: JobRow, job: OpenedJob): Change {
  const summary = summarise(job);
  const { house: _, ...rest } = before;
  const house = GONE.has(summary.place) ? {} : { house: 1 };
  return { job, row: { ...rest, ...house, stale: false, summary, mark: crypto.randomUUID() } };
}
