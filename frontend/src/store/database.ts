/* Opens the phone's database when it is first needed, never at install time, and puts a time limit on every piece of work. */
import {
  type IDBPDatabase,
  type IDBPObjectStore,
  type IDBPTransaction,
  openDB,
  type StoreNames,
  type StoreValue,
  unwrap,
} from "idb";
import { say } from "../words/bench";
import { type BenchDatabase, DATABASE_NAME, DATABASE_VERSION } from "./schema";
import { later } from "./timers";
import { upgrade } from "./upgrade";

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

type Stores = Array<StoreNames<BenchDatabase>>;

/**
 * One short piece of writing over the named stores, all or nothing: also an error of our own, between
 * two requests, takes back what was written. Inside `work`, await the database only.
 */
export function edit<S extends Stores, T>(
  stores: S,
  work: (tx: IDBPTransaction<BenchDatabase, S, "readwrite">) => Promise<T>,
  durability: IDBTransactionDurability = "default",
): Promise<T> {
  return withDatabase((database) => {
    const tx = database.transaction(stores, "readwrite", { durability });
    return transact(tx, () => work(tx));
  });
}

/** Puts many rows without hearing of each: should one fail, the transaction fails with it. */
export function putAll<S extends StoreNames<BenchDatabase>>(
  store: IDBPObjectStore<BenchDatabase, never, S, "readwrite">,
  rows: readonly StoreValue<BenchDatabase, S>[],
): void {
  const plain = unwrap(store) as IDBObjectStore;
  for (const row of rows) plain.put(row);
}

type Abortable = { done: Promise<void>; abort: () => void; error: DOMException | null };

const live = new Set<Abortable>();

async function transact<T>(tx: Abortable, work: () => Promise<T>): Promise<T> {
  live.add(tx);
  // The request that failed reports it; this only keeps it from being reported twice.
  tx.done.catch(() => undefined);
  try {
    const result = await work();
    await tx.done;
    return result;
  } catch (error) {
    giveUp(tx);
    // What ended the transaction says more than the request that it took along.
    throw tx.error ?? error;
  } finally {
    live.delete(tx);
  }
}

function giveUp(tx: Abortable): void {
  try {
    tx.abort();
  } catch {
    // It was finished or aborted already.
  }
}

function timeLimit(): { promise: Promise<never>; stop: () => void } {
  let stop = () => {};
  const promise = new Promise<never>((_, reject) => {
    stop = later(LIMIT_MS, () => {
      // What was refused must not be written later all the same.
      for (const tx of live) giveUp(tx);
      forget();
      reject(new StorageRefused(say("store.slow")));
    });
  });
  return { promise, stop };
}

function asRefusal(error: unknown): unknown {
  if (!(error instanceof DOMException)) return error;
  if (error.name === "QuotaExceededError") return new StorageRefused(say("store.full"), true);
  // Given up together with another one that took too long.
  if (error.name === "AbortError") return new StorageRefused(say("store.slow"));
  return error;
}
