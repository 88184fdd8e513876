/* Reads jobs: the list from its summaries, one job with all its entries. */
import type { Entry } from "../journal/entry";
import { withSummary } from "./append";
import { edit, withDatabase } from "./database";
import { findRoute } from "./routes";
import type { JobHeader, JobRow, ListedJob } from "./schema";

export type OpenedJob = { header: JobHeader; entries: Entry[]; unsent: Set<string> };

/** Jobs still in the house, the next promised first, the unpromised last. */
export async function listJobs(): Promise<ListedJob[]> {
  await refreshStale();
  return (await rowsInHouse()).flatMap(listedFrom).sort(inPromiseOrder);
}

const rowsInHouse = (): Promise<JobRow[]> =>
  withDatabase((database) => database.getAllFromIndex("jobs", "house"));

function listedFrom({ brief, summary }: JobRow): ListedJob[] {
  return brief && summary ? [{ header: brief, summary }] : [];
}

function inPromiseOrder(one: ListedJob, other: ListedJob): number {
  const key = ({ header, summary }: ListedJob) =>
    `${summary.readyAt ?? header.promised_at ?? "9999"} ${header.number}`;
  return key(one) < key(other) ? -1 : 1;
}

export async function countJobs(): Promise<number> {
  return withDatabase((database) => database.count("jobs"));
}

export async function findJob(id: string): Promise<OpenedJob | undefined> {
  return withDatabase(async (database) => {
    const tx = database.transaction(["headers", "routes", "entries"]);
    const header = await tx.objectStore("headers").get(id);
    const rows = await tx.objectStore("entries").index("job").getAll(id);
    const route = header && (await findRoute(tx, header.route));
    await tx.done;
    if (!header || !route) return undefined;
    const unsent = new Set(rows.filter((each) => each.unsent !== undefined).map((each) => each.id));
    return { header: { ...header, route }, entries: rows.map((each) => each.entry), unsent };
  });
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
  await edit(["jobs", "headers", "routes", "entries"], async (tx) => {
    const row = await tx.objectStore("jobs").get(id);
    const header = await tx.objectStore("headers").get(id);
    if (!row || !header || (row.summary && !row.stale)) return;
    const route = await findRoute(tx, header.route);
    if (!route) return;
    const rows = await tx.objectStore("entries").index("job").getAll(id);
    await tx.objectStore("jobs").put(withSummary(row, header, route, rows));
  });
}
