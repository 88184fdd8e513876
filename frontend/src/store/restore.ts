/*
 * A server that was restored from a backup: what was made here is offered again, everything is fetched
 * again, and what others wrote but the server has no more is no part of a job until it comes again.
 */
import { edit, withDatabase } from "./database";
import { factsIn } from "./meta";
import type { EntryRow, JobRow, SyncFacts } from "./schema";

const CHUNK = 500;

/** A server that is new to this phone, or was restored: everything is fetched from the start. */
export async function startEpoch(epoch: string): Promise<void> {
  await edit(
    ["meta"],
    async (tx) => {
      const meta = tx.objectStore("meta");
      const facts = await factsIn(meta);
      const restored = facts.epoch === null ? {} : { era: facts.era + 1, restoring: true };
      await meta.put({ ...facts, ...restored, epoch, cursor: 0 }, "sync");
    },
    "strict",
  );
}

/** Whether a server that names this epoch is another incarnation than the one last heard. */
export async function isRestored(epoch: string | undefined): Promise<boolean> {
  const known = (await withDatabase((database) => factsIn(database.transaction("meta").store)))
    .epoch;
  return epoch !== undefined && known !== null && known !== epoch;
}

/** All entries in short steps: one long piece of work would keep the mechanic waiting. */
async function throughEntries(work: (rows: EntryRow[]) => Promise<void>): Promise<void> {
  let after = "";
  for (;;) {
    const range = IDBKeyRange.lowerBound(after, true);
    const rows = await withDatabase((database) => database.getAll("entries", range, CHUNK));
    if (rows.length === 0) return;
    await work(rows);
    after = rows.at(-1)?.id ?? "";
  }
}

/** Safe to stop anywhere: the old epoch stays until all is offered, and brings the phone here again. */
export async function offerEverythingAgain(): Promise<void> {
  await throughEntries(async (rows) => {
    const own = rows.filter((row) => row.own && row.unsent === undefined);
    if (own.length === 0) return;
    await edit(["entries"], async (tx) => {
      await Promise.all(own.map((row) => tx.objectStore("entries").put(waiting(row))));
    });
  });
  await offerPhotosAgain();
  await edit(["walk_ins"], async (tx) => {
    for await (const cursor of tx.objectStore("walk_ins")) {
      const { refused, removed } = cursor.value;
      if (refused ?? removed) continue;
      await cursor.update({ ...cursor.value, unsent: 1 });
    }
  });
}

function waiting({ seq: _, era: __, ...row }: EntryRow): EntryRow {
  return { ...row, unsent: row.entry.n };
}

async function offerPhotosAgain(): Promise<void> {
  const keys = await withDatabase((database) => database.getAllKeys("photos"));
  for (const key of keys) {
    await edit(["photos"], async (tx) => {
      const row = await tx.objectStore("photos").get(key);
      if (!row || row.refused || row.removed || row.unsent !== undefined) return;
      await tx.objectStore("photos").put({ ...row, unsent: Date.parse(row.kept_at) || 1 });
    });
  }
}

/** Once everything was fetched again. Returns the jobs that say less than before. */
export async function setLostAside(at: string): Promise<string[]> {
  const facts = await withDatabase((database) => factsIn(database.transaction("meta").store));
  if (!facts.restoring) return [];
  const jobs = new Set<string>();
  await throughEntries(async (rows) => {
    const lost = rows.filter((row) => !row.own && (row.era ?? 0) !== facts.era);
    if (lost.length > 0) await moveToLost(lost, at);
    for (const { job } of lost) jobs.add(job);
  });
  for (const job of await leaveHouse(facts)) jobs.add(job);
  await edit(["meta"], async (tx) => {
    const meta = tx.objectStore("meta");
    await meta.put({ ...(await factsIn(meta)), restoring: false }, "sync");
  });
  return [...jobs];
}

async function moveToLost(rows: EntryRow[], at: string): Promise<void> {
  await edit(
    ["entries", "lost", "jobs"],
    async (tx) => {
      for (const { id, job, entry } of rows) {
        await tx.objectStore("lost").put({ id, job, entry, lost_at: at });
        await tx.objectStore("entries").delete(id);
      }
      for (const id of new Set(rows.map((row) => row.job))) {
        const job = await tx.objectStore("jobs").get(id);
        if (job) await tx.objectStore("jobs").put({ ...job, stale: true });
      }
    },
    "strict",
  );
}

/** Jobs opened after the backup was made are unknown to the desk; only a walk-in's is told to it again. */
async function leaveHouse(facts: SyncFacts): Promise<string[]> {
  return edit(["jobs", "walk_ins"], async (tx) => {
    const [rows, walkIns] = await Promise.all([
      tx.objectStore("jobs").index("house").getAll(),
      tx.objectStore("walk_ins").getAllKeys(),
    ]);
    const gone = rows.filter((row) => (row.era ?? 0) !== facts.era && !walkIns.includes(row.id));
    await Promise.all(gone.map((row) => tx.objectStore("jobs").put(outOfHouse(row))));
    return gone.map((row) => row.id);
  });
}

function outOfHouse({ house: _, ...row }: JobRow): JobRow {
  return { ...row, unknown: 1, stale: true };
}
