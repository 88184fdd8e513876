/* What the phone's code finds around itself: a service worker's world with a clock, a disk and a network of our own. */
import { createHash } from "node:crypto";
import { gunzipSync, gzipSync } from "node:zlib";
import {
  IDBCursor,
  IDBCursorWithValue,
  IDBDatabase,
  IDBFactory,
  IDBIndex,
  IDBKeyRange,
  IDBObjectStore,
  IDBOpenDBRequest,
  IDBRequest,
  IDBTransaction,
  IDBVersionChangeEvent,
} from "fake-indexeddb";
import type { Random } from "./random";

export const ORIGIN = "http://localhost:8000";

export type Around = {
  /** The phone's own clock, which may be wrong. */
  now: () => number;
  random: Random;
  indexedDB: object;
  locks: object;
  caches: object;
  after: (ms: number, run: () => void) => { cancelled: boolean };
  fetch: (url: string, init: RequestInit) => Promise<Response>;
  listen: (type: string, handle: (event: unknown) => void) => void;
  channel: new (name: string) => object;
  background: (tag: string) => void;
  trouble: (error: unknown) => void;
  isOnline: () => boolean;
  persisted: boolean;
};

export const DATABASE_CLASSES = {
  IDBCursor,
  IDBCursorWithValue,
  IDBDatabase,
  IDBFactory,
  IDBIndex,
  IDBKeyRange,
  IDBObjectStore,
  IDBOpenDBRequest,
  IDBRequest,
  IDBTransaction,
  IDBVersionChangeEvent,
};

/** Names that hide what Node has: the phone's code sees these and nothing behind them. */
export type Names = Record<string, unknown>;

export function namesFor(around: Around): Names {
  const location = new URL("/bench/worker.js", ORIGIN);
  const registration = {
    scope: `${ORIGIN}/bench/`,
    sync: { register: async (tag: string) => around.background(tag) },
  };
  const navigator = {
    locks: around.locks,
    get onLine() {
      return around.isOnline();
    },
    userAgent: "a simulated phone",
    language: "en-GB",
    languages: ["en-GB"],
    storage: {
      persist: async () => around.persisted,
      persisted: async () => around.persisted,
      estimate: async () => ({ usage: 1_000_000, quota: 1_000_000_000 }),
    },
  };
  const self: Names = {
    ...DATABASE_CLASSES,
    ...timers(around),
    indexedDB: around.indexedDB,
    caches: around.caches,
    location,
    navigator,
    registration,
    clients: { claim: async () => undefined, matchAll: async () => [] },
    skipWaiting: async () => undefined,
    addEventListener: around.listen,
    fetch: (what: RequestInfo | URL, init: RequestInit = {}) => fetchIn(around, what, init),
    Request: RelativeRequest,
    Date: dateFor(around.now),
    Math: mathFor(around.random),
    crypto: cryptoFor(around.random),
    performance: { now: () => around.now(), timeOrigin: 0 },
    AbortSignal: signalsFor(around),
    BroadcastChannel: around.channel,
    CompressionStream: streamThrough((bytes) => gzipSync(bytes, { level: 1 })),
    DecompressionStream: streamThrough((bytes) => gunzipSync(bytes)),
    reportError: around.trouble,
    process: undefined,
    setImmediate: undefined,
    window: undefined,
    require: undefined,
  };
  return Object.assign(self, { self, globalThis: self });
}

class RelativeRequest extends Request {
  constructor(what: RequestInfo | URL, init?: RequestInit) {
    super(typeof what === "string" ? new URL(what, ORIGIN) : what, init);
  }
}

async function fetchIn(around: Around, what: RequestInfo | URL, init: RequestInit) {
  if (!(what instanceof Request)) return around.fetch(String(what), init);
  const body = what.body ? await what.arrayBuffer() : null;
  return around.fetch(what.url, { method: what.method, headers: what.headers, body, ...init });
}

function timers(around: Around): Names {
  const running = new Map<number, { cancelled: boolean }>();
  let next = 1;
  const start = (run: () => void, ms = 0, again = false): number => {
    const id = next++;
    const turn = () => {
      if (again) running.set(id, around.after(ms, turn));
      else running.delete(id);
      run();
    };
    running.set(id, around.after(ms, turn));
    return id;
  };
  const stop = (id?: number) => {
    const timer = id === undefined ? undefined : running.get(id);
    if (timer) timer.cancelled = true;
  };
  return {
    setTimeout: (run: (...given: unknown[]) => void, ms?: number, ...given: unknown[]) =>
      start(() => run(...given), ms),
    setInterval: (run: (...given: unknown[]) => void, ms?: number, ...given: unknown[]) =>
      start(() => run(...given), ms, true),
    clearTimeout: stop,
    clearInterval: stop,
  };
}

function dateFor(now: () => number): DateConstructor {
  return class extends Date {
    constructor(...given: [] | [number]) {
      if (given.length === 0) super(Math.floor(now()));
      else super(...given);
    }
    static override now(): number {
      return Math.floor(now());
    }
  } as unknown as DateConstructor;
}

function mathFor(random: Random): Math {
  const copy = Object.create(null, Object.getOwnPropertyDescriptors(Math)) as Math;
  Object.defineProperty(copy, "random", { value: () => random.next() });
  return copy;
}

type Filled = { byteLength: number; byteOffset: number; buffer: ArrayBuffer };

function cryptoFor(random: Random) {
  return {
    getRandomValues: <T extends Filled>(array: T): T => {
      new Uint8Array(array.buffer, array.byteOffset, array.byteLength).set(
        random.bytes(array.byteLength),
      );
      return array;
    },
    randomUUID: () => random.uuid(),
    subtle: {
      digest: async (_name: string, data: ArrayBuffer | Uint8Array) => {
        const digest = createHash("sha256").update(new Uint8Array(data)).digest();
        return new Uint8Array(digest).buffer;
      },
    },
  };
}

function signalsFor(around: Around) {
  return {
    timeout: (ms: number) => {
      const control = new AbortController();
      around.after(ms, () => control.abort(new DOMException("timed out", "TimeoutError")));
      return control.signal;
    },
    abort: (reason?: unknown) => AbortSignal.abort(reason),
    any: (signals: AbortSignal[]) => AbortSignal.any(signals),
  };
}

/** Compression without threads, whose timing nobody could repeat. */
function streamThrough(change: (bytes: Uint8Array) => Uint8Array) {
  return class {
    readonly readable: ReadableStream;
    readonly writable: WritableStream;
    constructor() {
      const chunks: Uint8Array[] = [];
      const { readable, writable } = new TransformStream<Uint8Array, Uint8Array>({
        transform: (chunk) => void chunks.push(new Uint8Array(chunk)),
        flush: (control) => control.enqueue(new Uint8Array(change(Buffer.concat(chunks)))),
      });
      this.readable = readable;
      this.writable = writable;
    }
  };
}
