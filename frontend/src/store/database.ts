/* Opens the phone's database when it is first needed, never at install time, and puts a time limit on every piece of work. */
import { type IDBPDatabase, openDB } from "idb";
import { type BenchDatabase, DATABASE_NAME, DATABASE_VERSION, upgrade } from "./schema";

export type Database = IDBPDatabase<BenchDatabase>;

const LIMIT_MS = 8000;

/** The phone's storage did not answer, or has no room; the sentence is fit to show. */
export class StorageRefused extends Error {
  readonly full: boolean;
  constructor(message: string, full = false) {
    super(message);
    this.name = "StorageRefused";
    this.full = full;
  }
}

export const FULL =
  "This phone has no room left, so this was not kept. Delete something on the phone, or send what is kept here first, then try again.";
const SLOW =
  "The phone's storage did not answer in time. Close other windows of the bench, then try again with the same input.";

let opening: Promise<Database> | undefined;

export function openDatabase(): Promise<Database> {
  opening ??= openDB<BenchDatabase>(DATABASE_NAME, DATABASE_VERSION, {
    upgrade,
    // A newer version in another window wants to change the database: make way, open again when needed.
    blocking: closeDatabase,
    terminated: forget,
  }).catch((error: unknown) => {
    forget();
    throw error;
  });
  return opening;
}

function forget(): void {
  opening = undefined;
}

export function closeDatabase(): void {
  void opening?.then((database) => database.close());
  forget();
}

/** Runs one short piece of work; a transaction that hangs must not hang the bench. */
export async function withDatabase<T>(work: (database: Database) => Promise<T>): Promise<T> {
  const limit = timeLimit();
  try {
    return await Promise.race([openDatabase().then(work), limit.promise]);
  } catch (error) {
    throw asRefusal(error);
  } finally {
    limit.stop();
  }
}

function timeLimit(): { promise: Promise<never>; stop: () => void } {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const promise = new Promise<never>((_, reject) => {
    timer = setTimeout(() => {
      forget();
      reject(new StorageRefused(SLOW));
    }, LIMIT_MS);
  });
  return { promise, stop: () => clearTimeout(timer) };
}

function asRefusal(error: unknown): unknown {
  if (error instanceof DOMException && error.name === "QuotaExceededError") {
    return new StorageRefused(FULL, true);
  }
  return error;
}
