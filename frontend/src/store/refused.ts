/* What the server would not take: it stays readable with its reason, is sent again, or is taken off the list. */
import type { IDBPTransaction } from "idb";
import { v7 } from "uuid";
import type { Entry } from "../journal/entry";
import { edit, withDatabase } from "./database";
import { OTHER_WORKSHOP, type Refusal } from "./refusal";
import type { BenchDatabase, DeviceFacts, EntryRow, JobRow, RefusedRow } from "./schema";

export async function listRefused(): Promise<RefusedRow[]> {
  return withDatabase((database) => database.getAllFromIndex("refused", "listed"));
}

/** What a person took off the list and can still bring back. */
export async function listRemoved(): Promise<RefusedRow[]> {
  const rows = await withDatabase((database) => database.getAll("refused"));
  return rows.filter((row) => row.listed === undefined);
}

export type RefusedEntry = Refusal & { id: string };

/** A refused entry leaves the queue and the job. Returns the jobs that changed by it. */
export async function setRefusedAside(refusals: RefusedEntry[], at: string): Promise<string[]> {
  const work = async (tx: Moving) => {
    const jobs = await Promise.all(refusals.map((refusal) => moveAside(tx, refusal, at)));
    return [...new Set(jobs.flatMap((job) => job ?? []))];
  };
  return edit(["entries", "refused", "jobs"], work, "strict");
}

type Moving = IDBPTransaction<BenchDatabase, ("entries" | "refused" | "jobs")[], "readwrite">;

async function moveAside(
  tx: Moving,
  { id, code, message }: RefusedEntry,
  at: string,
): Promise<string | undefined> {
  const row = await tx.objectStore("entries").get(id);
  if (!row) return undefined;
  const refused = { id, code, message, refused_at: at, entry: row.entry, listed: 1 };
  await tx.objectStore("refused").put(refused);
  await tx.objectStore("entries").delete(id);
  await markStale(tx.objectStore("jobs"), row.job);
  return row.job;
}

type Jobs = {
  get: (id: string) => Promise<JobRow | undefined>;
  put: (row: JobRow) => Promise<string>;
};

async function markStale(jobs: Jobs, id: string): Promise<void> {
  const job = await jobs.get(id);
  if (job) await jobs.put({ ...job, stale: true });
}

/** The same words under the same name, or under a new one when the name is somebody else's already. */
export async function sendAgain(id: string): Promise<string | undefined> {
  return edit(["entries", "refused", "jobs", "meta"], (tx) => backInQueue(tx, id), "strict");
}

type Requeueing = IDBPTransaction<
  BenchDatabase,
  ("entries" | "refused" | "jobs" | "meta")[],
  "readwrite"
>;

async function backInQueue(tx: Requeueing, id: string): Promise<string | undefined> {
  const row = await tx.objectStore("refused").get(id);
  if (!row || row.code === OTHER_WORKSHOP) return undefined;
  const entry = row.code === "id-reused" ? await written(tx, row.entry) : row.entry;
  if (!entry) return undefined;
  const kept: EntryRow = { id: entry.id, job: entry.job, entry, own: true, unsent: entry.n };
  await tx.objectStore("entries").put(kept);
  await tx.objectStore("refused").delete(id);
  await markStale(tx.objectStore("jobs"), entry.job);
  return entry.job;
}

/** Written again as new; what it once replaced may have been replaced by others since. */
async function written(tx: Requeueing, entry: Entry): Promise<Entry | undefined> {
  const meta = tx.objectStore("meta");
  const device = (await meta.get("device")) as DeviceFacts | undefined;
  if (!device) return undefined;
  const n = (((await meta.get("n")) as number | undefined) ?? 0) + 1;
  await meta.put(n, "n");
  return { ...entry, id: v7(), device: device.device, n, supersedes: [] };
}

/** Off the list; it can be brought back until it is thrown away for good. */
export async function takeOffList(id: string, at: string): Promise<void> {
  await change(id, ({ listed: _, ...row }) => ({ ...row, removed_at: at }));
}

export async function bringBack(id: string): Promise<void> {
  await change(id, ({ removed_at: _, ...row }) => ({ ...row, listed: 1 }));
}

async function change(id: string, how: (row: RefusedRow) => RefusedRow): Promise<void> {
  await edit(
    ["refused"],
    async (tx) => {
      const row = await tx.objectStore("refused").get(id);
      if (row) await tx.objectStore("refused").put(how(row));
    },
    "strict",
  );
}

/** What was taken off the list before that time goes for good. */
export async function throwAwayRemoved(before: string): Promise<void> {
  const old = ({ removed_at }: { removed_at?: string }) =>
    removed_at !== undefined && removed_at < before;
  await edit(["refused", "photos", "walk_ins"], async (tx) => {
    const [refused, walkIns] = [tx.objectStore("refused"), tx.objectStore("walk_ins")];
    const photos = tx.objectStore("photos");
    const [entries, taken, bikes] = await Promise.all([
      refused.getAll(),
      photos.index("removed").getAll(),
      walkIns.getAll(),
    ]);
    await Promise.all([
      ...entries.filter(old).map((row) => refused.delete(row.id)),
      ...taken.filter(old).map((row) => photos.delete(row.sha256)),
      ...bikes.filter(old).map((row) => walkIns.delete(row.id)),
    ]);
  });
}
