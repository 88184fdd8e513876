import { v7 } from "uuid";
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { JOB, MIRA, makeBench, NOW } from "../testing/bench";
import { appendEntry, appendPhoto, type NewEntry } from "./append";
import { type Database, openDatabase, StorageRefused } from "./database";
import { countKept } from "./outbox";
import { findPhoto, markPhotoSent } from "./photos";
import type { PhotoRow } from "./schema";
import { findThumb, keepThumb, wantThumbs } from "./thumbs";

const MB = 1024 * 1024;

beforeEach(async () => {
  await makeBench();
});
afterEach(() => {
  vi.unstubAllGlobals();
  vi.restoreAllMocks();
});

function write(kind: string): NewEntry {
  const facts = { id: v7(), job: JOB, by: MIRA, at: NOW.toISOString(), supersedes: [] };
  return { ...facts, kind, body: {} };
}

function photo(name: string): PhotoRow {
  const bytes = new ArrayBuffer(MB);
  const facts = { job: JOB, mime: "image/jpeg", kept_at: NOW.toISOString() };
  return { sha256: name.repeat(64), bytes, ...facts };
}

/** The next so many transactions find no room. */
async function noRoom(times: number): Promise<void> {
  const database = await openDatabase();
  const real = database.transaction.bind(database) as (...args: unknown[]) => unknown;
  let left = times;
  const full = (...args: unknown[]) => {
    if (left-- > 0) throw new DOMException("no room", "QuotaExceededError");
    return real(...args);
  };
  vi.spyOn(database, "transaction").mockImplementation(full as unknown as Database["transaction"]);
}

test("an entry that finds no room takes that of photos that were sent, then that of small pictures", async () => {
  await appendPhoto(write("photo"), photo("a"));
  await markPhotoSent("a".repeat(64));
  await appendPhoto(write("photo"), photo("b"));
  await wantThumbs([{ sha256: "c".repeat(64), job: JOB }]);
  await keepThumb({ sha256: "c".repeat(64), job: JOB }, new ArrayBuffer(9));
  const database = await openDatabase();
  const real = database.transaction.bind(database) as (...args: unknown[]) => unknown;
  vi.spyOn(database, "transaction").mockImplementation(((stores: string[], ...rest: unknown[]) => {
    const wants = Array.isArray(stores) && stores.includes("meta");
    if (wants && thumbs > 0) throw new DOMException("no room", "QuotaExceededError");
    if (stores.includes("thumbs")) thumbs -= 1;
    return real(stores, ...rest);
  }) as unknown as Database["transaction"]);
  let thumbs = 1;
  await appendEntry(write("note"));
  vi.restoreAllMocks();

  expect((await countKept()).entries).toBe(3);
  expect(await findPhoto("a".repeat(64))).toBeUndefined();
  expect(await findThumb("c".repeat(64))).toBeUndefined();
  expect(await findPhoto("b".repeat(64)), "what waits is never dropped").toBeDefined();
});

test("when nothing can make way the person is told, and nothing is half kept", async () => {
  await noRoom(99);
  await expect(appendEntry(write("note"))).rejects.toThrow(StorageRefused);
  vi.restoreAllMocks();

  expect((await countKept()).entries).toBe(0);
});

function say(free: number[]): void {
  const estimate = async () => {
    const [next = 0] = free.length > 1 ? free.splice(0, 1) : free;
    return { quota: 100 * MB, usage: 100 * MB - next };
  };
  vi.stubGlobal("navigator", { storage: { estimate } });
}

test("a photo is refused while there is still room for entries", async () => {
  say([5 * MB]);
  await expect(appendPhoto(write("photo"), photo("a"))).rejects.toThrow("too little room");
  await appendEntry(write("note"));

  expect(await countKept()).toMatchObject({ entries: 1, photos: 0 });
});

test("photos that were sent make way for a new one before it is refused", async () => {
  await appendPhoto(write("photo"), photo("a"));
  await markPhotoSent("a".repeat(64));
  say([5 * MB, 50 * MB]);
  await appendPhoto(write("photo"), photo("b"));

  expect(await findPhoto("a".repeat(64))).toBeUndefined();
  expect(await findPhoto("b".repeat(64))).toBeDefined();
});

test("a browser that does not say how much room there is keeps photos", async () => {
  vi.stubGlobal("navigator", {});
  await appendPhoto(write("photo"), photo("a"));

  expect((await countKept()).photos).toBe(1);
});
