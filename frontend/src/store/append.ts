/* Keeps a new entry: the count, the entry, its place in the queue and the job's summary, all or nothing. */
import type { IDBPTransaction } from "idb";
import type { Entry } from "../journal/entry";
import { say } from "../words/bench";
import { edit } from "./database";
import { type Change, openIn, summed } from "./jobs";
import { type OpenedJob, open, remember } from "./opened";
import { waitingPhoto } from "./photos";
import { askRoomForPhoto, withRoom } from "./room";
import type { BenchDatabase, DeviceFacts, EntryRow, JobRow, PhotoRow } from "./schema";
import { addToTally } from "./tally";
import { inFront } from "./turns";

/** The job or the person at work is not what the writer of this entry saw. */
export class SeenChanged extends Error {}

/** What an entry was written upon without a look into the database: the mark of the job's row, see opened.ts. */
export type Seen = { mark: string };

/** Given the entry and the job with it while both are on their way to the disk; time that would be spent waiting. */
export type Meanwhile = (entry: Entry, job: OpenedJob) => void;

type How = { seen?: Seen | undefined; meanwhile?: Meanwhile | undefined };

export type NewEntry = Pick<Entry, "id" | "job" | "kind" | "by" | "at" | "body" | "supersedes">;

/** This phone is not known to the workshop yet, so nothing can be written in its name. */
export class NotEnrolled extends Error {
  constructor() {
    super(say("store.not-enrolled"));
    this.name = "NotEnrolled";
  }
}

/** Safe to repeat: the same id again returns the entry that is there. Throws SeenChanged, and then nothing is kept. */
export async function appendEntry(entry: NewEntry, how: How = {}): Promise<Entry> {
  return withRoom(() => append(entry, how));
}

/** The photo and its entry together. */
export async function appendPhoto(entry: NewEntry, photo: PhotoRow): Promise<Entry> {
  await askRoomForPhoto(photo.bytes.byteLength);
  return withRoom(() => append(entry, {}, waitingPhoto(photo)));
}

async function append(fresh: NewEntry, how: How, photo?: PhotoRow): Promise<Entry> {
  const { database, entry, change, known } = await inFront(() =>
    edit(
      ["meta", "jobs", "headers", "routes", "entries", "photos"],
      (tx) => write(tx, fresh, how, photo),
      "strict",
    ),
  );
  if (change) remember(database, change);
  if (!known) addToTally(database, entry, photo ? 1 : 0);
  return entry;
}

type Writing = IDBPTransaction<
  BenchDatabase,
  ("meta" | "jobs" | "headers" | "routes" | "entries" | "photos")[],
  "readwrite"
>;
type Written = { database: object; entry: Entry; known: boolean; change?: Change | undefined };

/** Reads all it needs at once and writes all at once: on a slow phone each way to the disk and back counts. */
async function write(
  tx: Writing,
  fresh: NewEntry,
  { seen, meanwhile }: How,
  photo?: PhotoRow,
): Promise<Written> {
  const [meta, entries, jobs] = [
    tx.objectStore("meta"),
    tx.objectStore("entries"),
    tx.objectStore("jobs"),
  ];
  const [known, device, last, row, person] = await Promise.all([
    entries.get(fresh.id),
    meta.get("device") as Promise<DeviceFacts | undefined>,
    meta.get("n") as Promise<number | undefined>,
    jobs.get(fresh.job),
    seen && meta.get("person"),
  ]);
  const database = tx.db;
  if (seen && !(row?.mark === seen.mark && !row.stale && person === fresh.by))
    throw new SeenChanged();
  if (known) return { database, entry: known.entry, known: true };
  if (!device) throw new NotEnrolled();
  const n = (last ?? 0) + 1;
  const entry: Entry = { v: 1, ...fresh, device: device.device, n };
  const change = row && (await withEntry(tx, row, entry));
  const kept: EntryRow = { id: entry.id, job: entry.job, entry, own: true, unsent: n };
  const writing = [
    meta.put(n, "n"),
    entries.put(kept),
    change && jobs.put(change.row),
    photo && tx.objectStore("photos").put(photo),
  ];
  // Nothing more will be asked of this transaction: it need not wait for us to see that it went well.
  tx.commit();
  if (change) meanwhile?.(entry, change.job);
  await Promise.all(writing);
  return { database, entry, known: false, change };
}

/** The job and its row as they are with one more entry. */
async function withEntry(tx: Writing, row: JobRow, entry: Entry): Promise<Change | undefined> {
  const before = await openIn(tx, row);
  if (!before) return undefined;
  return summed(row, open(before.header, [...before.entries, entry]));
}
