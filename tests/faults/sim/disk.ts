/*
 * A phone's storage: outlives every run of its worker. What was not committed goes when the worker
 * is killed; what was committed without being forced to the disk may go when the battery does.
 */
import { IDBDatabase, IDBFactory } from "fake-indexeddb";
import { copyDatabase, type RawDatabase, type RawStore, type Tx } from "./disk-parts";
import type { Random } from "./random";
import { setTasks } from "./tasks";
import { EVER, type Owner, type World } from "./world";

type Request = {
  listeners: unknown[];
  onsuccess: unknown;
  onerror: unknown;
  onupgradeneeded?: unknown;
  onblocked?: unknown;
  readyState: string;
  result: Connection;
  addEventListener: (type: string, listen: () => void) => void;
};
type Connection = { listeners: unknown[]; _rawDatabase: RawDatabase; close: () => void };
type Factory = {
  _databases: Map<string, RawDatabase>;
  _connectionQueues: Map<string, unknown>;
  open: (name: string, version?: number) => Request;
  deleteDatabase: (name: string) => Request;
  databases: () => Promise<unknown>;
  cmp: (one: unknown, other: unknown) => number;
};

const disks = new WeakMap<RawDatabase, Disk>();

/** What one run of a worker has open. */
export type Handles = { requests: Request[]; connections: Set<Connection> };

export class Disk {
  readonly #world: World;
  readonly #random: Random;
  #factory: Factory;
  #owner: Owner = { alive: true };
  #last = 0;
  /** How to undo what was committed since the disk was last forced, the newest last. */
  #unforced: Array<Array<() => void>> = [];
  /** What is met with "no room" just now. */
  full: "nothing" | "photos" | "everything" = "nothing";
  slow = 0.2;
  #turnsLeft = Number.POSITIVE_INFINITY;
  #atTheEnd: () => void = () => undefined;

  constructor(world: World, random: Random) {
    this.#world = world;
    this.#random = random;
    this.#factory = new IDBFactory() as unknown as Factory;
  }

  /** Takes the disk's turns one after the other. */
  readonly queue = (task: () => void): void => {
    const at = Math.max(this.#world.now + this.#random.next() * this.slow, this.#last);
    this.#last = at;
    this.#world.after(at - this.#world.now, this.#owner, () => {
      setTasks(this.queue);
      task();
      this.#turnsLeft -= 1;
      if (this.#turnsLeft === 0) this.#world.after(0, EVER, this.#atTheEnd);
    });
  };

  /** Something happens between two turns of the disk, wherever that is in the phone's work. */
  afterTurns(turns: number, happen: () => void): void {
    this.#turnsLeft = turns;
    this.#atTheEnd = happen;
  }

  /** The disk does not answer for a while. */
  stall(ms: number): void {
    this.#last = Math.max(this.#last, this.#world.now) + ms;
  }

  /** `indexedDB` as one run of a worker sees it. */
  face(handles: Handles): object {
    const factory = this.#factory;
    return {
      open: (name: string, version?: number) => {
        const request = factory.open(name, version);
        const note = () => {
          const connection = request.result;
          handles.connections.add(connection);
          disks.set(connection._rawDatabase, this);
          meetFull(connection._rawDatabase);
        };
        request.addEventListener("upgradeneeded", note);
        request.addEventListener("success", note);
        handles.requests.push(request);
        return request;
      },
      deleteDatabase: (name: string) => factory.deleteDatabase(name),
      databases: () => factory.databases(),
      cmp: (one: unknown, other: unknown) => factory.cmp(one, other),
    };
  }

  /** The worker is gone: nothing of it is heard again, and what it had not committed is undone. */
  drop(handles: Handles): void {
    setTasks(this.queue);
    for (const request of handles.requests) {
      silence(request);
      request.addEventListener("success", () => request.result.close());
    }
    for (const connection of handles.connections) {
      connection.listeners = [];
      const raw = connection._rawDatabase;
      for (const tx of [...raw.transactions]) {
        if (tx.db === connection && tx._state !== "finished") this.#end(raw, tx);
      }
      connection.close();
      for (const _ of raw.transactions) raw.processTransactions();
    }
    // An opening that was under way never comes to its end; later ones must not wait for it.
    this.#factory._connectionQueues.clear();
    setTasks(undefined);
  }

  #end(raw: RawDatabase, tx: Tx): void {
    for (const { request } of tx._requests) silence(request as unknown as Request);
    // The first three belong to the database itself, as does what starts the next transaction.
    tx.listeners = tx.listeners.filter(
      (each, at) => at < 3 || each.callback === raw.processTransactions,
    );
    Object.assign(tx, { onabort: null, oncomplete: null, onerror: null });
    const isAtItsEnd = tx._started && tx._requests.length === 0 && tx.mode === "readwrite";
    if (isAtItsEnd && this.#random.chance(0.5)) {
      tx.addEventListener("complete", () => this.committed(tx));
      this.#world.count("kill: had just committed");
      return;
    }
    if (tx._started && tx.mode === "readwrite") this.#world.count("kill: inside a transaction");
    tx._state = "active";
    tx._abort(null);
  }

  committed(tx: Tx): void {
    if (tx.mode === "readonly") return;
    if (tx.durability === "strict" || tx.mode === "versionchange") this.#unforced = [];
    else this.#unforced.push(tx._rollbackLog);
  }

  /** The power fails: some of what was never forced to the disk is not on it. */
  loseUnforced(): void {
    const lost = this.#random.int(0, this.#unforced.length);
    if (lost > 0) this.#world.count("power cut: commits lost", lost);
    setTasks(this.queue);
    for (const undo of this.#unforced.splice(this.#unforced.length - lost).reverse()) {
      for (const step of undo.reverse()) step();
    }
    this.#unforced = [];
    setTasks(undefined);
  }

  /** The browser throws everything of this site away. */
  evict(): void {
    this.#owner.alive = false;
    this.#owner = { alive: true };
    this.#factory = new IDBFactory() as unknown as Factory;
    this.#unforced = [];
    this.#last = 0;
  }

  /** The same content on another phone's disk, as when a profile is copied. */
  copyTo(other: Disk): void {
    for (const [name, raw] of this.#factory._databases) {
      other.#factory._databases.set(name, copyDatabase(raw, name));
    }
  }

  /** Looks at what is there without disturbing anybody. */
  rows<T>(store: string, name = "shopfloor-bench"): T[] {
    const records = this.#factory._databases.get(name)?.rawObjectStores.get(store)?.records;
    return records ? [...records.values()].map((record) => record.value as T) : [];
  }

  /** Puts something there as nobody's doing. */
  write(store: string, key: string, value: unknown, name = "shopfloor-bench"): void {
    const raw = this.#factory._databases.get(name)?.rawObjectStores.get(store);
    raw?.storeRecord({ key, value }, false);
  }

  row<T>(store: string, key: string, name = "shopfloor-bench"): T | undefined {
    const raw = this.#factory._databases.get(name)?.rawObjectStores.get(store);
    return raw?.records.get(key)?.value as T | undefined;
  }
}

function silence(request: Request): void {
  request.listeners = [];
  Object.assign(request, { onsuccess: null, onerror: null });
  if ("onupgradeneeded" in request)
    Object.assign(request, { onupgradeneeded: null, onblocked: null });
}

type Prototype = { transaction: (...given: unknown[]) => Tx };

/** Every transaction of every database tells its disk when it has committed. */
function watchCommits(prototype: Prototype): void {
  const begin = prototype.transaction;
  prototype.transaction = function (this: Connection, ...given) {
    const tx = begin.apply(this, given);
    tx.addEventListener("complete", () => disks.get(this._rawDatabase)?.committed(tx));
    return tx;
  } as Prototype["transaction"];
}

watchCommits(IDBDatabase.prototype as unknown as Prototype);

const met = new WeakSet<object>();

/** Writing meets a full disk as a browser does: the request fails, and with it its transaction. */
function meetFull(raw: RawDatabase): void {
  const store = raw.rawObjectStores.values().next().value;
  const prototype = store && (Object.getPrototypeOf(store) as RawStore);
  if (!prototype || met.has(prototype)) return;
  met.add(prototype);
  const write = prototype.storeRecord;
  prototype.storeRecord = function (this: RawStore, record, noOverwrite, undo) {
    const full = disks.get(this.rawDatabase)?.full ?? "nothing";
    // Undoing needs no room.
    if (undo && (full === "everything" || (full === "photos" && this.name === "photos")))
      throw new DOMException("no room", "QuotaExceededError");
    return write.call(this, record, noOverwrite, undo);
  };
}
