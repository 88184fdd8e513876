/* When to sync: at once when asked, once at a time over all windows, and later and later while it fails. */
import { type SyncDeps, type SyncOutcome, syncOnce } from "./run";

export type Syncer = {
  /** Syncs now unless a failure asks for patience; `force` is a person's own wish, `calm` can also wait after a success. */
  sync: (options?: { force?: boolean; calm?: boolean }) => Promise<SyncOutcome>;
  /** Syncs soon: several entries in a row make one request. */
  soon: () => Promise<void>;
  isRunning: () => boolean;
};

export type LoopDeps = SyncDeps & {
  random: () => number;
  /** Told before and after each run, so that the truth line can say so. */
  told: () => void;
  locks?: LockManager | undefined;
};

const SOON_MS = 1500;
/** Going from page to page is no reason to ask the server each time. */
const CALM_MS = 8_000;
const FIRST_WAIT_MS = 5_000;
const LONGEST_WAIT_MS = 60_000;

export function waitAfter(failures: number, random: number): number {
  if (failures === 0) return 0;
  const full = Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** (failures - 1));
  return full / 2 + (full / 2) * random;
}

export function createSyncer(deps: LoopDeps): Syncer {
  let running: Promise<SyncOutcome> | undefined;
  let pending: Promise<void> | undefined;
  let failures = 0;
  let notBefore = 0;
  let calmUntil = 0;
  let last: SyncOutcome = { ok: true, message: "", pulled: 0, pushed: 0 };

  async function run(): Promise<SyncOutcome> {
    deps.told();
    last = await alone(deps, () => syncOnce(deps));
    failures = last.ok ? 0 : failures + 1;
    notBefore = deps.now().getTime() + waitAfter(failures, deps.random());
    calmUntil = deps.now().getTime() + CALM_MS;
    return last;
  }

  function sync(options: { force?: boolean; calm?: boolean } = {}): Promise<SyncOutcome> {
    if (running) return running;
    const patience = options.calm ? Math.max(notBefore, calmUntil) : notBefore;
    if (!options.force && deps.now().getTime() < patience) return Promise.resolve(last);
    running = run().finally(() => {
      running = undefined;
      deps.told();
    });
    return running;
  }

  function soon(): Promise<void> {
    pending ??= new Promise<void>((resolve) => setTimeout(resolve, SOON_MS)).then(async () => {
      pending = undefined;
      if (running) await running;
      await sync();
    });
    return pending;
  }

  return { sync, soon, isRunning: () => running !== undefined };
}

async function alone<T>(deps: LoopDeps, work: () => Promise<T>): Promise<T> {
  if (!deps.locks) return work();
  return (await deps.locks.request("shopfloor-sync", work)) as T;
}
