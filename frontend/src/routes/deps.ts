/* What the routes are given from outside: the clock, the syncer, and ways to tell other windows. No worker globals. */
import type { Seen } from "../store/append";
import type { Fetch } from "../sync/exchange";
import type { Syncer } from "../sync/loop";
import type { Assets, Frame } from "../views/layout";

export type Deps = {
  now: () => Date;
  assets: Assets;
  version: string;
  syncer: Syncer;
  fetch: Fetch;
  /** Tells every other window of this phone that jobs changed. */
  changed: (jobs: string[], from?: string) => void;
};

export type BenchEnv = {
  /** Keeps the worker alive until the promise is settled. */
  waitUntil?: (promise: Promise<unknown>) => void;
  /** What was sent, when it did not come as the request's body. */
  form?: FormData;
};

/** One request as a handler sees it. */
export type BenchContext = {
  var: {
    deps: Deps;
    /** What the page of this request shows around its work, once it was loaded. */
    frame?: Frame;
    form?: Promise<FormData>;
    /** What the handler was given from memory: to be checked where something is written. */
    seen?: Seen;
    /** Something was kept. */
    written?: boolean;
  };
  env: BenchEnv;
  req: {
    raw: Request;
    method: string;
    path: string;
    /** A part of the path by its name in the route. */
    param: (name: string) => string | undefined;
    query: (name: string) => string | undefined;
    header: (name: string) => string | undefined;
  };
};
