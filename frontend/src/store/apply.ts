/* Takes in what the server says: jobs, the workshop, and entries in the server's order without a hole. */
import type { Entry } from "../journal/entry";
import { type Database, withDatabase } from "./database";
import { NO_SYNC_YET } from "./meta";
import type { EntryRow, JobHeader, SyncFacts, WorkshopInfo } from "./schema";

export type Numbered = { seq: number; entry: Entry };

/** The server's list has a hole after this phone's cursor; asking again from the cursor is the cure. */
export class Gap extends Error {
  constructor(expected: number, got: number) {
    super(
      `Entry number ${expected} is missing from what the server sent (it went on with ${got}). Asking again.`,
    );
    this.name = "Gap";
  }
}

export async function applyJobs(
  headers: JobHeader[],
  workshop: WorkshopInfo | undefined,
): Promise<void> {
  await withDatabase(async (database) => {
    const tx = database.transaction(["jobs", "meta"], "readwrite");
    if (workshop) await tx.objectStore("meta").put(workshop, "workshop");
    for (const header of headers) {
      const row = await tx.objectStore("jobs").get(header.id);
      await tx
        .objectStore("jobs")
        .put({ id: header.id, header, summary: row?.summary ?? null, stale: true });
    }
    await tx.done;
  });
}

/** One small batch and the cursor that counts it, together. Returns the jobs it touched. */
export async function applyEntries(batch: Numbered[]): Promise<string[]> {
  return withDatabase((database) => apply(database, batch));
}

async function apply(database: Database, batch: Numbered[]): Promise<string[]> {
  const tx = database.transaction(["entries", "jobs", "meta"], "readwrite");
  tx.done.catch(() => undefined);
  const facts =
    ((await tx.objectStore("meta").get("sync")) as SyncFacts | undefined) ?? NO_SYNC_YET;
  let cursor = facts.cursor;
  let gap: Gap | undefined;
  const touched = new Set<string>();
  for (const { seq, entry } of batch) {
    if (seq <= cursor) continue;
    if (seq !== cursor + 1) {
      gap = new Gap(cursor + 1, seq);
      break;
    }
    const known = await tx.objectStore("entries").get(entry.id);
    await tx.objectStore("entries").put(taken(known, entry, seq));
    touched.add(entry.job);
    cursor = seq;
  }
  for (const id of touched) {
    const job = await tx.objectStore("jobs").get(id);
    await tx.objectStore("jobs").put({ header: null, summary: null, ...job, id, stale: true });
  }
  await tx.objectStore("meta").put({ ...facts, cursor }, "sync");
  await tx.done;
  if (gap) throw gap;
  return [...touched];
}

function taken(known: EntryRow | undefined, entry: Entry, seq: number): EntryRow {
  return { id: entry.id, job: entry.job, entry, own: known?.own ?? false, seq };
}

/** A server that is new to this phone, or was restored: everything is fetched from the start. */
export async function startEpoch(epoch: string): Promise<void> {
  await withDatabase(async (database) => {
    const tx = database.transaction("meta", "readwrite", { durability: "strict" });
    const facts = ((await tx.store.get("sync")) as SyncFacts | undefined) ?? NO_SYNC_YET;
    await tx.store.put({ ...facts, epoch, cursor: 0 }, "sync");
    await tx.done;
  });
}

/** After a restore the server may lack what it once took: all that was made here waits again. */
export async function offerEverythingAgain(): Promise<void> {
  await withDatabase(async (database) => {
    const tx = database.transaction(["entries", "photos"], "readwrite", { durability: "strict" });
    for await (const cursor of tx.objectStore("entries")) {
      const { seq: _, ...row } = cursor.value;
      await cursor.update(row.own ? { ...row, unsent: row.entry.n } : row);
    }
    for await (const cursor of tx.objectStore("photos")) {
      if (!cursor.value.refused) await cursor.update({ ...cursor.value, unsent: 1 });
    }
    await tx.done;
  });
}
