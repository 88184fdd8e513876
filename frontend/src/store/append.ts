/* Keeps a new entry: the count, the entry, its place in the queue and the job's summary, all or nothing. */
import type { IDBPTransaction } from "idb";
import type { Entry } from "../journal/entry";
import type { Step } from "../journal/route";
import { edit, StorageRefused } from "./database";
import { dropSentPhotos } from "./photos";
import { findRoute } from "./routes";
import {
  type BenchDatabase,
  type DeviceFacts,
  type EntryRow,
  GONE,
  type HeaderRow,
  type JobRow,
  type PhotoRow,
} from "./schema";
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
  return append(entry);
}

/** The photo and its entry together. When there is no room, photos that were sent already make way, once. */
export async function appendPhoto(entry: NewEntry, photo: PhotoRow): Promise<Entry> {
  try {
    return await append(entry, photo);
  } catch (error) {
    if (!(error instanceof StorageRefused && error.full)) throw error;
    if ((await dropSentPhotos()) === 0) throw error;
    return append(entry, photo);
  }
}

function append(fresh: NewEntry, photo?: PhotoRow): Promise<Entry> {
  return inFront(() =>
    edit(
      ["meta", "jobs", "headers", "routes", "entries", "photos"],
      (tx) => write(tx, fresh, photo),
      "strict",
    ),
  );
}

type Writing = IDBPTransaction<
  BenchDatabase,
  ("meta" | "jobs" | "headers" | "routes" | "entries" | "photos")[],
  "readwrite"
>;

/** Reads all it needs at once and writes all at once: on a slow phone each way to the disk and back counts. */
async function write(tx: Writing, fresh: NewEntry, photo?: PhotoRow): Promise<Entry> {
  const [meta, entries, jobs, photos] = [
    tx.objectStore("meta"),
    tx.objectStore("entries"),
    tx.objectStore("jobs"),
    tx.objectStore("photos"),
  ];
  const [known, device, last, row, header, rows] = await Promise.all([
    entries.get(fresh.id),
    meta.get("device") as Promise<DeviceFacts | undefined>,
    meta.get("n") as Promise<number | undefined>,
    jobs.get(fresh.job),
    tx.objectStore("headers").get(fresh.job),
    entries.index("job").getAll(fresh.job),
  ]);
  if (known) return known.entry;
  if (!device) throw new NotEnrolled();
  const n = (last ?? 0) + 1;
  const entry: Entry = { v: 1, ...fresh, device: device.device, n };
  const kept: EntryRow = { id: entry.id, job: entry.job, entry, own: true, unsent: n };
  const steps = header && (await findRoute(tx, header.route));
  const changed = row && header && steps && withSummary(row, header, steps, [...rows, kept]);
  await Promise.all([
    meta.put(n, "n"),
    entries.put(kept),
    changed && jobs.put(changed),
    photo && photos.put(photo),
  ]);
  return entry;
}

export function withSummary(
  row: JobRow,
  header: HeaderRow,
  route: Step[],
  rows: EntryRow[],
): JobRow {
  const entries = rows.map((each) => each.entry);
  const summary = summarise({ ...header, route }, entries);
  const { house: _, ...rest } = row;
  const house = GONE.has(summary.place) ? {} : { house: 1 };
  return { ...rest, ...house, stale: false, summary };
}
