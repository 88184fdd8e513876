/* What this phone keeps that the server has not taken, and what the server would not take. */
import type { IDBPTransaction } from "idb";
import type { Entry } from "../journal/entry";
import { edit, withDatabase } from "./database";
import type { BenchDatabase, EntryRow, Kept, RefusedRow } from "./schema";

/** The next entries to send, in the order they were written, leaving out those held back for now. */
export async function listUnsent(limit: number, held: ReadonlySet<string>): Promise<Entry[]> {
  const rows = await withDatabase((database) =>
    database.getAllFromIndex("entries", "unsent", undefined, limit + held.size),
  );
  return rows
    .filter((row) => !held.has(row.id))
    .slice(0, limit)
    .map((row) => row.entry);
}

/** The entries that wait, by id. */
export async function listUnsentIds(): Promise<Set<string>> {
  return withDatabase(async (database) => {
    const keys = await database.getAllKeysFromIndex("entries", "unsent");
    return new Set(keys);
  });
}

export async function countKept(): Promise<Kept> {
  return withDatabase(async (database) => {
    const tx = database.transaction(["entries", "photos", "refused"]);
    const unsent = tx.objectStore("entries").index("unsent");
    const [first, entries, photos, refused] = await Promise.all([
      unsent.get(IDBKeyRange.lowerBound(0)),
      unsent.count(),
      tx.objectStore("photos").index("unsent").count(),
      tx.objectStore("refused").count(),
    ]);
    return { entries, photos, refused, oldestAt: first?.entry.at ?? null };
  });
}

export async function listKeptEntries(): Promise<Entry[]> {
  const rows = await withDatabase((database) => database.getAllFromIndex("entries", "unsent"));
  return rows.map((row) => row.entry);
}

export async function listRefused(): Promise<RefusedRow[]> {
  return withDatabase((database) => database.getAll("refused"));
}

/** Everything this phone has written or been told, for a person to carry elsewhere. */
export async function exportEntries(): Promise<{
  unsent: Entry[];
  refused: RefusedRow[];
  own: Entry[];
}> {
  return withDatabase(async (database) => {
    const rows = await database.getAll("entries");
    const own = rows.filter((row) => row.own);
    return {
      unsent: own.filter((row) => row.unsent !== undefined).map((row) => row.entry),
      refused: await database.getAll("refused"),
      own: own.map((row) => row.entry),
    };
  });
}

/** The server has these now. */
export async function markSent(ids: string[]): Promise<void> {
  await edit(["entries"], async (tx) => {
    const entries = tx.objectStore("entries");
    const rows = await Promise.all(ids.map((id) => entries.get(id)));
    await Promise.all(rows.map((row) => row && entries.put(sent(row))));
  });
}

function sent(row: EntryRow): EntryRow {
  const { unsent: _, ...rest } = row;
  return rest;
}

export type Refusal = { id: string; code: string; message: string };

/** A refused entry leaves the queue and the job, and stays readable with its reason. */
export async function setRefusedAside(refusals: Refusal[], at: string): Promise<string[]> {
  const work = async (tx: Moving) => {
    const jobs = new Set<string>();
    for (const refusal of refusals) {
      const job = await moveAside(tx, refusal, at);
      if (job) jobs.add(job);
    }
    return [...jobs];
  };
  return edit(["entries", "refused", "jobs"], work, "strict");
}

type Moving = IDBPTransaction<BenchDatabase, ("entries" | "refused" | "jobs")[], "readwrite">;

async function moveAside(tx: Moving, refusal: Refusal, at: string): Promise<string | undefined> {
  const row = await tx.objectStore("entries").get(refusal.id);
  if (!row) return undefined;
  await tx.objectStore("refused").put({ ...refusal, refused_at: at, entry: row.entry });
  await tx.objectStore("entries").delete(refusal.id);
  const job = await tx.objectStore("jobs").get(row.job);
  if (job) await tx.objectStore("jobs").put({ ...job, stale: true });
  return row.job;
}
