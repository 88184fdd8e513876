/* The parts of fake-indexeddb that a disk reaches into: its records, its transactions, its databases. */

type RawRecord = { key: unknown; value: unknown };
type Records = {
  get: (key: unknown) => RawRecord | undefined;
  values: () => Iterable<RawRecord>;
};
type RawIndex = {
  name: string;
  keyPath: unknown;
  multiEntry: boolean;
  unique: boolean;
  initialized: boolean;
};
export type RawStore = {
  name: string;
  keyPath: unknown;
  autoIncrement: boolean;
  keyGenerator: { num: number } | null;
  records: Records;
  rawIndexes: Map<string, RawIndex>;
  rawDatabase: RawDatabase;
  storeRecord: (record: RawRecord, noOverwrite: boolean, undo?: Array<() => void>) => unknown;
};
export type RawDatabase = {
  version: number;
  transactions: Tx[];
  rawObjectStores: Map<string, RawStore>;
  processTransactions: () => void;
};
export type Tx = {
  db: unknown;
  mode: string;
  durability: string;
  _state: string;
  _started: boolean;
  _requests: Array<{ request: unknown }>;
  _rollbackLog: Array<() => void>;
  listeners: Array<{ callback: unknown }>;
  addEventListener: (type: string, listen: () => void) => void;
  _abort: (name: string | null) => void;
};

/** The classes are not exported; what was made by them tells them. */
function makerOf<T>(one: T): new (...given: unknown[]) => T {
  return (one as { constructor: unknown }).constructor as new (
    ...given: unknown[]
  ) => T;
}

export function copyDatabase(raw: RawDatabase, name: string): RawDatabase {
  const copy = new (makerOf(raw))(name, raw.version);
  for (const store of raw.rawObjectStores.values()) {
    copy.rawObjectStores.set(store.name, copyStore(store, copy));
  }
  return copy;
}

function copyStore(store: RawStore, database: RawDatabase): RawStore {
  const copy = new (makerOf(store))(database, store.name, store.keyPath, store.autoIncrement);
  if (copy.keyGenerator && store.keyGenerator) copy.keyGenerator.num = store.keyGenerator.num;
  for (const index of store.rawIndexes.values()) {
    const { name, keyPath, multiEntry, unique } = index;
    const made = new (makerOf(index))(copy, name, keyPath, multiEntry, unique);
    made.initialized = true;
    copy.rawIndexes.set(name, made);
  }
  for (const { key, value } of store.records.values()) copy.storeRecord({ key, value }, true);
  return copy;
}
