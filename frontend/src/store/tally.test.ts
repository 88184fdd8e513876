import { v7 } from "uuid";
import { beforeEach, expect, test } from "vitest";
import { type Bench, JOB, MIRA, makeBench, NOW } from "../testing/bench";
import { appendEntry, appendPhoto, type NewEntry } from "./append";
import { countKept } from "./outbox";
import { countAnew, lastCount } from "./tally";

let bench: Bench;

beforeEach(async () => {
  bench = await makeBench();
});

function note(): NewEntry {
  const at = NOW.toISOString();
  return { id: v7(), job: JOB, kind: "note", by: MIRA, at, body: { text: "x" }, supersedes: [] };
}

function photo(sha256: string) {
  const bytes = new ArrayBuffer(8);
  return { sha256, job: JOB, mime: "image/jpeg", bytes, kept_at: NOW.toISOString() };
}

test("what was written since the count is in it, once", async () => {
  await countAnew();
  const entry = note();
  await appendEntry(entry);
  await appendEntry(entry);
  await appendPhoto(note(), photo("a".repeat(64)));

  expect(await lastCount()).toEqual(await countKept());
  expect(await lastCount()).toMatchObject({ entries: 2, photos: 1, oldestAt: NOW.toISOString() });
});

test("without a count it is counted", async () => {
  await appendEntry(note());

  expect(await lastCount()).toMatchObject({ entries: 1 });
});

test("entries written while it is counted are neither lost nor counted twice", async () => {
  await countAnew();
  await Promise.all([countAnew(), appendEntry(note()), countAnew(), appendEntry(note())]);

  expect(await lastCount()).toEqual(await countKept());
});

test("after a sync the next look counts anew", async () => {
  await appendEntry(note());
  await bench.syncer.sync({ force: true });
  await bench.get("/bench/truth");

  expect(await lastCount()).toMatchObject({ entries: 0, oldestAt: null });
});
