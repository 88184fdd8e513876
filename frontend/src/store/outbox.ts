/* What this phone keeps that the server has not taken, and what the server would not take. */
import type { Entry } from "../journal/entry";
import { type Database, withDatabase } from "./database";
import type { EntryRow, Kept, RefusedRow } from "./schema";

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

export async function countKept(): Promise<Kept> {
  return withDatabase(async (database) => {
    const tx = database.transaction(["entries", "photos", "refused"]);
    const entries = tx.objectStore("entries").index("unsent");
    const first = await entries.openCursor();
    const kept: Kept = {
      entries: await entries.count(),
      photos: await tx.objectStore("photos").index("unsent").count(),
      refused: await tx.objectStore("refused").count(),
      oldestAt: first?.value.entry.at ?? null,
    };
    await tx.done;
    return kept;
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
  await withDatabase(async (database) => {
    const tx = database.transaction("entries", "readwrite");
    for (const id of ids) {
      const row = await tx.store.get(id);
      if (row) await tx.store.put(sent(row));
    }
    await tx.done;
  });
}

function sent(row: EntryRow): EntryRow {
  const { unsent: _, ...rest } = row;
  return rest;
}

export type Refusal = { id: string; code: string; message: string };

/** A refused entry leaves the queue and the job, and stays readable with its reason. */
export async function setRefusedAside(refusals: Refusal[], at: string): Promise<string[]> {
  return withDatabase((database) => moveAside(database, refusals, at));
}

async function moveAside(database: Database, refusals: Refusal[], at: string): Promise<string[]> {
  const tx = database.transaction(["entries", "refused", "jobs"], "readwrite", {
    durability: "strict",
  });
  const jobs = new Set<string>();
  for (const refusal of refusals) {
    const row = await tx.objectStore("entries").get(refusal.id);
    if (!row) continue;
    await tx.objectStore("refused").put({ ...refusal, refused_at: at, entry: row.entry });
    await tx.objectStore("entries").delete(refusal.id);
    jobs.add(row.job);
  }
  for (const id of jobs) {
    const job = await tx.objectStore("jobs").get(id);
    if (job) await tx.objectStore("jobs").put({ ...job, stale: true });
  }
  await tx.done;
  return [...jobs];
}
