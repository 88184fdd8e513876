/* What the routes are given from outside: the clock, the syncer, and ways to tell other windows. No worker globals. */
import type { Context } from "hono";
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
  Bindings: {
    /** Keeps the worker alive until the promise is settled. */
    waitUntil?: (promise: Promise<unknown>) => void;
  };
  Variables: {
    deps: Deps;
    /** What the page of this request shows around its work, once it was loaded. */
    frame?: Frame;
  };
};

export type BenchContext = Context<BenchEnv>;
