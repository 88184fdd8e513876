/* The two lanes of the sync: entries, and photos that never hold them up. */
import { type Asked, createLane, type LaneDeps } from "./lane";
import { type PhotoOutcome, sendPhotos } from "./photo-lane";
import { type SyncDeps, type SyncOutcome, syncOnce } from "./run";

export type Syncer = {
  /** Syncs now unless a failure asks for patience. */
  sync: (wish?: Asked) => Promise<SyncOutcome>;
  /** Syncs soon, then sends photos: several entries in a row make one request. */
  soon: () => Promise<void>;
  /** Sends and fetches photos. */
  photos: (wish?: Asked) => Promise<PhotoOutcome>;
  isRunning: () => boolean;
  /** Does the work while neither lane is at work: what changes who this phone is. */
  alone: <R>(work: () => Promise<R>) => Promise<R>;
};

export type LoopDeps = SyncDeps &
  LaneDeps & {
    /** Told before and after each run, so that the truth line can say so. */
    told: () => void;
  };

const SOON_MS = 1500;
const NOTHING_YET = { ok: true, message: "" };

export function createSyncer(deps: LoopDeps): Syncer {
  let pending: Promise<void> | undefined;
  const entries = createLane<SyncOutcome>(deps, {
    lock: "shopfloor-sync",
    work: () => syncOnce(deps),
    failed: (message) => ({ ok: false, message, pulled: 0, pushed: 0 }),
    initial: { ...NOTHING_YET, pulled: 0, pushed: 0 },
  });
  const photos = createLane<PhotoOutcome>(deps, {
    lock: "shopfloor-photos",
    work: () => sendPhotos(deps),
    failed: (message) => ({ ok: false, message, sent: 0, fetched: 0 }),
    initial: { ...NOTHING_YET, sent: 0, fetched: 0 },
  });

  async function told<T>(run: () => Promise<T>, isRunning: () => boolean): Promise<T> {
    const isFirst = !isRunning();
    const running = run();
    if (isFirst && isRunning()) deps.told();
    const outcome = await running;
    if (isFirst) deps.told();
    return outcome;
  }

  const sync = (wish: Asked = {}) => told(() => entries.run(wish), entries.isRunning);
  const send = (wish: Asked = {}) => told(() => photos.run(wish), photos.isRunning);

  async function soonNow(): Promise<void> {
    pending = undefined;
    // One that is under way may have looked at the queue already.
    if (entries.isRunning()) await sync();
    const { ok } = await sync();
    if (ok) await send();
  }

  function soon(): Promise<void> {
    pending ??= new Promise<void>((resolve) => deps.later(SOON_MS, resolve)).then(soonNow);
    return pending;
  }

  const alone = <R>(work: () => Promise<R>) => entries.hold(() => photos.hold(work));

  return { sync, soon, photos: send, isRunning: entries.isRunning, alone };
}
