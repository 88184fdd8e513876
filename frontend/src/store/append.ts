/* Keeps a new entry: the count, the entry, its place in the queue and the job's summary, all or nothing. */
import type { Entry } from "../journal/entry";
import { type Database, StorageRefused, withDatabase } from "./database";
import { dropSentPhotos } from "./photos";
import type { DeviceFacts, EntryRow, JobRow, PhotoRow } from "./schema";
import { summarise } from "./summary";
import { inFront } from "./turns";

export type NewEntry = Pick<Entry, "id" | "job" | "kind" | "by" | "at" | "body" | "supersedes">;

/** This phone is not known to the workshop yet, so nothing can be written in its name. */
export class NotEnrolled extends Error {
  constructor() {
    super(
      "This phone is not known to the workshop yet. Sign in on the bench page, then try again.",
    );
    this.name = "NotEnrolled";
  }
}

/** Safe to repeat: the same id again returns the entry that is there. */
export async function appendEntry(entry: NewEntry): Promise<Entry> {
  return inFront(() => withDatabase((database) => append(database, entry)));
}

/** The photo and its entry together. When there is no room, photos that were sent already make way, once. */
export async function appendPhoto(entry: NewEntry, photo: PhotoRow): Promise<Entry> {
  const attempt = () => inFront(() => withDatabase((database) => append(database, entry, photo)));
  try {
    return await attempt();
  } catch (error) {
    if (!(error instanceof StorageRefused && error.full)) throw error;
    if ((await dropSentPhotos()) === 0) throw error;
    return attempt();
  }
}

async function append(database: Database, fresh: NewEntry, photo?: PhotoRow): Promise<Entry> {
  const stores = ["meta", "jobs", "entries", "photos"] as const;
  const tx = database.transaction(stores, "readwrite", { durability: "strict" });
  // A failed transaction is reported by the request that failed; this only keeps it from being reported twice.
  tx.done.catch(() => undefined);
  const entries = tx.objectStore("entries");
  const known = await entries.get(fresh.id);
  if (known) {
    await tx.done;
    return known.entry;
  }
  const device = (await tx.objectStore("meta").get("device")) as DeviceFacts | undefined;
  if (!device) throw new NotEnrolled();
  const n = (((await tx.objectStore("meta").get("n")) as number | undefined) ?? 0) + 1;
  const entry: Entry = { v: 1, ...fresh, device: device.device, n };
  await tx.objectStore("meta").put(n, "n");
  await entries.put({ id: entry.id, job: entry.job, entry, own: true, unsent: n });
  if (photo && !(await tx.objectStore("photos").get(photo.sha256))) {
    await tx.objectStore("photos").put(photo);
  }
  const row = await tx.objectStore("jobs").get(entry.job);
  const rows = await entries.index("job").getAll(entry.job);
  if (row) await tx.objectStore("jobs").put(withSummary(row, rows));
  await tx.done;
  return entry;
}

export function withSummary(row: JobRow, rows: EntryRow[]): JobRow {
  if (!row.header) return row;
  const entries = rows.map((each) => each.entry);
  return { ...row, stale: false, summary: summarise(row.header, entries) };
}
