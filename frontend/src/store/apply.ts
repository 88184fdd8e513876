/* Takes in what the server says: jobs, the workshop, and entries in the server's order without a hole. */
import type { Entry } from "../journal/entry";
import { edit } from "./database";
import { factsIn } from "./meta";
import type { EntryRow, JobHeader, WorkshopInfo } from "./schema";

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
  await edit(["jobs", "headers", "routes", "meta"], async (tx) => {
    if (workshop) await tx.objectStore("meta").put(workshop, "workshop");
    for (const header of headers) {
      const { route: steps, ...brief } = header;
      const sha256 = `v1:${header.id}`;
      const row = await tx.objectStore("jobs").get(header.id);
      await tx.objectStore("routes").put({ sha256, steps });
      await tx.objectStore("headers").put({ ...brief, route: sha256 });
      await tx
        .objectStore("jobs")
        .put({ house: 1, summary: null, ...row, id: header.id, brief, stale: true });
    }
  });
}

/**
 * One small batch and the cursor that counts it, together. What would leave a hole is left out: then the
 * cursor stays behind the batch.
 */
export async function applyEntries(batch: Numbered[]): Promise<{ jobs: string[]; cursor: number }> {
  return edit(["entries", "jobs", "meta"], async (tx) => {
    const facts = await factsIn(tx.objectStore("meta"));
    const whole = wholeFrom(batch, facts.cursor);
    const entries = tx.objectStore("entries");
    const known = await Promise.all(whole.map(({ entry }) => entries.get(entry.id)));
    await Promise.all(whole.map(({ seq, entry }, at) => entries.put(taken(known[at], entry, seq))));
    const jobs = new Set(whole.map(({ entry }) => entry.job));
    for (const id of jobs) {
      const job = await tx.objectStore("jobs").get(id);
      if (job?.stale) continue;
      await tx
        .objectStore("jobs")
        .put({ house: 1, brief: null, summary: null, ...job, id, stale: true });
    }
    const cursor = whole.at(-1)?.seq ?? facts.cursor;
    await tx.objectStore("meta").put({ ...facts, cursor }, "sync");
    return { jobs: [...jobs], cursor };
  });
}

/** What follows the cursor without a hole; what is there already is left out. */
function wholeFrom(batch: Numbered[], cursor: number): Numbered[] {
  const news = batch.filter(({ seq }) => seq > cursor);
  return news.filter(({ seq }, at) => seq === cursor + 1 + at);
}

function taken(known: EntryRow | undefined, entry: Entry, seq: number): EntryRow {
  return { id: entry.id, job: entry.job, entry, own: known?.own ?? false, seq };
}

/** A server that is new to this phone, or was restored: everything is fetched from the start. */
export async function startEpoch(epoch: string): Promise<void> {
  await edit(
    ["meta"],
    async (tx) => {
      const meta = tx.objectStore("meta");
      await meta.put({ ...(await factsIn(meta)), epoch, cursor: 0 }, "sync");
    },
    "strict",
  );
}

/** After a restore the server may lack what it once took: all that was made here waits again. */
export async function offerEverythingAgain(): Promise<void> {
  await edit(
    ["entries", "photos"],
    async (tx) => {
      for await (const cursor of tx.objectStore("entries")) {
        const { seq: _, ...row } = cursor.value;
        await cursor.update(row.own ? { ...row, unsent: row.entry.n } : row);
      }
      for await (const cursor of tx.objectStore("photos")) {
        if (!cursor.value.refused) await cursor.update({ ...cursor.value, unsent: 1 });
      }
    },
    "strict",
  );
}
