import { openDB } from "idb";
import { v7 } from "uuid";
import { beforeEach, expect, test, vi } from "vitest";
import * as folding from "../journal/fold";
import { type Bench, JOB, MIRA, makeBench, makeEntry, makeHeader, NOW } from "../testing/bench";
import { appendEntry, type NewEntry } from "./append";
import { openDatabase } from "./database";
import { findJob, refreshStale } from "./jobs";
import { setRefusedAside } from "./refused";
import { type BenchDatabase, DATABASE_NAME } from "./schema";

let bench: Bench;

beforeEach(async () => {
  bench = await makeBench();
  await findJob(JOB);
});

function note(text: string): NewEntry {
  const at = NOW.toISOString();
  return { id: v7(), job: JOB, kind: "note", by: MIRA, at, body: { text }, supersedes: [] };
}

async function notes(): Promise<unknown[]> {
  return ((await findJob(JOB))?.state.notes ?? []).map((row) => row.body.text).sort();
}

test("a job that was read is not folded again while nothing is written", async () => {
  await appendEntry(note("one"));
  const folded = vi.spyOn(folding, "fold");
  const [first, second] = [await findJob(JOB), await findJob(JOB)];

  expect(second).toBe(first);
  expect(folded).not.toHaveBeenCalled();
  folded.mockRestore();
});

test("an entry adds to what is in memory, and the entries are not read from the database again", async () => {
  await appendEntry(note("one"));
  const database = await openDatabase();
  const all = vi.spyOn(IDBIndex.prototype, "getAll");
  await appendEntry(note("two"));

  expect(await notes()).toEqual(["one", "two"]);
  expect(all).not.toHaveBeenCalled();
  expect(await database.countFromIndex("entries", "job", JOB)).toBe(2);
  all.mockRestore();
});

test("entries written at the same moment are all there", async () => {
  await Promise.all(["a", "b", "c", "d"].map((text) => appendEntry(note(text))));

  expect(await notes()).toEqual(["a", "b", "c", "d"]);
});

test("what a sync brings is seen at once, before and after its summary is written", async () => {
  await appendEntry(note("mine"));
  bench.server.add(makeEntry({ kind: "note", body: { text: "theirs" } }));
  await bench.syncer.sync({ force: true });

  expect(await notes()).toEqual(["mine", "theirs"]);
});

test("a header that changed on the server is seen", async () => {
  bench.server.jobs = [makeHeader({ says: "Now it squeaks" })];
  await bench.syncer.sync({ force: true });

  expect((await findJob(JOB))?.header.says).toBe("Now it squeaks");
});

test("a refused entry is no part of the job any more", async () => {
  const entry = await appendEntry(note("too much"));
  await setRefusedAside([{ id: entry.id, code: "x", message: "no" }], NOW.toISOString());

  expect(await notes()).toEqual([]);
  await refreshStale();
  expect(await notes()).toEqual([]);
});

test("what another worker of this phone wrote is seen, and added to", async () => {
  await appendEntry(note("one"));
  const other = await openDB<BenchDatabase>(DATABASE_NAME);
  const entry = makeEntry({ kind: "note", body: { text: "other" } });
  const tx = other.transaction(["entries", "jobs"], "readwrite");
  const row = await tx.objectStore("jobs").get(JOB);
  await tx.objectStore("entries").put({ id: entry.id, job: JOB, entry, own: false, seq: 7 });
  if (row) await tx.objectStore("jobs").put({ ...row, mark: "the other's" });
  await tx.done;
  other.close();

  expect(await notes()).toEqual(["one", "other"]);
  await appendEntry(note("two"));
  expect(await notes()).toEqual(["one", "other", "two"]);
});

test("a write that failed leaves nothing in memory", async () => {
  await appendEntry(note("one"));
  const failing = vi.spyOn(IDBObjectStore.prototype, "put").mockImplementation(() => {
    throw new DOMException("no room", "QuotaExceededError");
  });
  await expect(appendEntry(note("two"))).rejects.toThrow("no room left");
  failing.mockRestore();

  expect(await notes()).toEqual(["one"]);
  await appendEntry(note("three"));
  expect(await notes()).toEqual(["one", "three"]);
});
