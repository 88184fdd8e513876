import { v7 } from "uuid";
import { beforeEach, expect, test, vi } from "vitest";
import { type Bench, JOB, MIRA, makeBench, makeEntry, NOW } from "../testing/bench";
import { appendEntry, appendPhoto, type NewEntry } from "./append";
import { applyEntries } from "./apply";
import { edit, openDatabase, StorageRefused } from "./database";
import { enrol } from "./enrolment";
import { findJob, listJobs } from "./jobs";
import { findPerson, getHabits, rememberHabits } from "./meta";
import { countKept, exportEntries, listUnsent } from "./outbox";
import { dropSentPhotos, findPhoto, markPhotoSent } from "./photos";
import type { PhotoRow } from "./schema";
import * as summary from "./summary";
import { inFront, yieldTurn } from "./turns";

let bench: Bench;

beforeEach(async () => {
  bench = await makeBench();
});

function tick(entry: Partial<NewEntry> = {}): NewEntry {
  return {
    id: v7(),
    job: JOB,
    kind: "tick",
    by: MIRA,
    at: NOW.toISOString(),
    body: { step: "look", outcome: "done" },
    supersedes: [],
    ...entry,
  };
}

function makePhoto(name = "a"): PhotoRow {
  return {
    sha256: name.repeat(64),
    job: JOB,
    mime: "image/jpeg",
    bytes: new ArrayBuffer(8),
    kept_at: NOW.toISOString(),
    unsent: 1,
  };
}

test("an entry, its number, its place in the queue and the job's summary are kept together", async () => {
  const entry = await appendEntry(tick());

  expect(entry).toMatchObject({ v: 1, n: 1 });
  expect(await countKept()).toMatchObject({ entries: 1, oldestAt: NOW.toISOString() });
  expect((await listJobs())[0]?.summary.done).toBe(1);
});

test("entries of one phone are numbered without a hole", async () => {
  const made = await Promise.all(Array.from({ length: 20 }, () => appendEntry(tick())));

  expect(made.map((entry) => entry.n).sort((one, other) => one - other)).toEqual(
    Array.from({ length: 20 }, (_, at) => at + 1),
  );
});

test("the same id again is the same entry, and takes no number", async () => {
  const fresh = tick();
  const first = await appendEntry(fresh);
  const again = await appendEntry(fresh);
  const next = await appendEntry(tick());

  expect(again).toEqual(first);
  expect(next.n).toBe(2);
});

test("when the summary cannot be made, nothing of the entry is kept", async () => {
  const failing = vi.spyOn(summary, "summarise").mockImplementation(() => {
    throw new Error("broken");
  });
  await expect(appendEntry(tick())).rejects.toThrow("broken");
  failing.mockRestore();
  const next = await appendEntry(tick());

  expect(next.n).toBe(1);
  expect((await findJob(JOB))?.entries).toHaveLength(1);
  expect((await countKept()).entries).toBe(1);
});

test("a full phone is told in words, and nothing is half kept", async () => {
  const database = await openDatabase();
  const full = vi.spyOn(database, "transaction").mockImplementation(() => {
    throw new DOMException("no room", "QuotaExceededError");
  });
  await expect(appendEntry(tick())).rejects.toThrow(StorageRefused);
  full.mockRestore();

  expect((await countKept()).entries).toBe(0);
});

test("what is given up together with something that hangs is told in words too", async () => {
  const given = edit(["meta"], async (tx) => {
    const asked = tx.objectStore("meta").get("n");
    tx.abort();
    return asked;
  });

  await expect(given).rejects.toThrow(StorageRefused);
  await expect(given).rejects.toThrow("did not answer in time");
});

test("an error of our own takes back what was written, and is told as it is", async () => {
  const given = edit(["meta"], async (tx) => {
    await tx.objectStore("meta").put(99, "n");
    throw new Error("second thoughts");
  });

  await expect(given).rejects.toThrow("second thoughts");
  expect((await appendEntry(tick())).n).toBe(1);
});

test("a photo that finds no room takes that of photos the server has", async () => {
  await appendPhoto(tick(), makePhoto("a"));
  await markPhotoSent("a".repeat(64));
  const database = await openDatabase();
  const real = database.transaction.bind(database);
  let first = true;
  vi.spyOn(database, "transaction").mockImplementation(((...args: Parameters<typeof real>) => {
    if (first) {
      first = false;
      throw new DOMException("no room", "QuotaExceededError");
    }
    return real(...args);
  }) as typeof database.transaction);
  await appendPhoto(tick(), makePhoto("b"));

  expect(await findPhoto("a".repeat(64))).toBeUndefined();
  expect(await findPhoto("b".repeat(64))).toMatchObject({ unsent: NOW.getTime() });
});

test("photos that wait are never dropped", async () => {
  await appendPhoto(tick(), makePhoto("a"));

  expect(await dropSentPhotos()).toBe(0);
  expect(await findPhoto("a".repeat(64))).toBeDefined();
});

test("an unknown phone writes nothing", async () => {
  const database = await openDatabase();
  await database.delete("meta", "device");

  await expect(appendEntry(tick())).rejects.toThrow("not known to the workshop");
});

test("a new identity starts its own count and leaves what waits as it was written", async () => {
  const before = await appendEntry(tick());
  await enrol({ device: "0190a000-0000-7000-8000-0000000000d3", token: "t" }, undefined);
  const after = await appendEntry(tick());

  expect(after).toMatchObject({ n: 1, device: "0190a000-0000-7000-8000-0000000000d3" });
  expect((await listUnsent(10)).map((each) => each.id).sort()).toEqual(
    [before.id, after.id].sort(),
  );
  expect(await findPerson()).toBe(MIRA);
});

test("an own entry that comes back with its number stays own and leaves the queue", async () => {
  const mine = await appendEntry(tick());
  await applyEntries([{ seq: 1, entry: mine }], []);

  expect((await countKept()).entries).toBe(0);
  expect((await exportEntries()).own).toHaveLength(1);
});

test("the list of jobs is in promise order and leaves out what was collected", async () => {
  bench.server.add(makeEntry({ kind: "collected", body: {} }));
  await bench.syncer.sync({ force: true });

  expect(await listJobs()).toEqual([]);
});

test("habits are added to, not replaced", async () => {
  await rememberHabits({ "unit:torque": "lbf·in" });
  await rememberHabits({ "instrument:torque": "x" });

  expect(await getHabits()).toEqual({ "unit:torque": "lbf·in", "instrument:torque": "x" });
});

test("a sync's next batch waits until the mechanic's own write is done", async () => {
  const order: string[] = [];
  let finish: () => void = () => undefined;
  const write = inFront(
    () =>
      new Promise<void>((resolve) => {
        finish = resolve;
      }),
  ).then(() => order.push("tick"));
  const batch = yieldTurn().then(() => order.push("batch"));
  setTimeout(() => finish(), 20);
  await Promise.all([write, batch]);

  expect(order).toEqual(["tick", "batch"]);
});
