/* A whole phone database as text: written once a release, opened again by every later version. */
type Row = { key?: IDBValidKey; value: unknown };
type Store = { keyPath: string | null; indexes: Record<string, string>; rows: Row[] };
export type Frozen = { name: string; version: number; stores: Record<string, Store> };

const BYTES = "$bytes";

function asText(value: unknown): unknown {
  return value instanceof ArrayBuffer ? { [BYTES]: Buffer.from(value).toString("base64") } : value;
}

function fromText(_key: string, value: unknown): unknown {
  const text = (value as Record<string, unknown> | null)?.[BYTES];
  if (typeof text !== "string") return value;
  return new Uint8Array(Buffer.from(text, "base64")).buffer;
}

function done<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

export async function freezeDatabase(name: string): Promise<string> {
  const database = await done(indexedDB.open(name));
  const names = [...database.objectStoreNames];
  const tx = database.transaction(names);
  const stores: Frozen["stores"] = {};
  for (const each of names) stores[each] = await freezeStore(tx.objectStore(each));
  const frozen: Frozen = { name, version: database.version, stores };
  database.close();
  return `${JSON.stringify(frozen, (_, value) => asText(value), 1)}\n`;
}

async function freezeStore(store: IDBObjectStore): Promise<Store> {
  const keyPath = store.keyPath as string | null;
  const [keys, values] = [await done(store.getAllKeys()), await done(store.getAll())];
  const indexes = [...store.indexNames].map((name) => [name, String(store.index(name).keyPath)]);
  const rows = values.map((value, at) => (keyPath ? { value } : { key: keys[at], value }) as Row);
  return { keyPath, indexes: Object.fromEntries(indexes), rows };
}

/** Puts the phone back as it was on that day, with the shape its stores had then. */
export async function thawDatabase(text: string): Promise<void> {
  const frozen = JSON.parse(text, fromText) as Frozen;
  const opening = indexedDB.open(frozen.name, frozen.version);
  opening.onupgradeneeded = () => {
    for (const [name, store] of Object.entries(frozen.stores))
      thawStore(opening.result, name, store);
  };
  (await done(opening)).close();
}

function thawStore(database: IDBDatabase, name: string, { keyPath, indexes, rows }: Store): void {
  const store = database.createObjectStore(name, keyPath ? { keyPath } : {});
  for (const [index, path] of Object.entries(indexes)) store.createIndex(index, path);
  for (const { key, value } of rows) store.put(value, key);
}
