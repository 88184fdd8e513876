/* When a lane of the sync runs: at once when asked, once at a time over all windows, later and later while it fails. */
import type { Later } from "../store/timers";
import { describe } from "./problems";

export type LaneDeps = {
  now: () => Date;
  later: Later;
  random: () => number;
  locks?: LockManager | undefined;
};

type Outcome = { ok: boolean; message: string };

export type Asked = {
  /** A person's own wish does not wait. */
  force?: boolean;
  /** A person has just come to look: what failed a while ago deserves a try, a success is recent enough. */
  seen?: boolean;
  /** Can also wait after a success. */
  calm?: boolean;
};

export type Lane<T extends Outcome> = {
  run: (asked?: Asked) => Promise<T>;
  isRunning: () => boolean;
  /** Does the work while the lane stands still. */
  hold: <R>(work: () => Promise<R>) => Promise<R>;
};

/** Going from page to page is no reason to ask the server each time. */
const CALM_MS = 8_000;
const FIRST_WAIT_MS = 5_000;
const LONGEST_WAIT_MS = 60_000;

export function waitAfter(failures: number, random: number): number {
  if (failures === 0) return 0;
  const full = Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** (failures - 1));
  return full / 2 + (full / 2) * random;
}

export function createLane<T extends Outcome>(
  deps: LaneDeps,
  lane: { lock: string; work: () => Promise<T>; failed: (message: string) => T; initial: T },
): Lane<T> {
  let running: Promise<T> | undefined;
  let failures = 0;
  let notBefore = 0;
  let calmUntil = 0;
  let last = lane.initial;
  let callOffRetry = () => {};
  const inTurn = turnTaker(lane.lock, deps.locks);

  async function once(): Promise<T> {
    try {
      return await inTurn(lane.work);
    } catch (error) {
      return lane.failed(describe(error).message);
    }
  }

  async function attempt(): Promise<T> {
    callOffRetry();
    last = await once();
    failures = last.ok ? 0 : failures + 1;
    const wait = waitAfter(failures, deps.random());
    const now = deps.now().getTime();
    [notBefore, calmUntil] = [now + wait, now + CALM_MS];
    if (!last.ok) callOffRetry = deps.later(wait, () => void run());
    return last;
  }

  function mustWait(asked: Asked): boolean {
    if (asked.force) return false;
    const now = deps.now().getTime();
    const until = patienceFor(asked);
    // A clock that was set back must not make it wait for hours.
    return now < until && until - now <= LONGEST_WAIT_MS;
  }

  function patienceFor({ seen, calm }: Asked): number {
    if (seen) return last.ok ? calmUntil : Math.min(notBefore, calmUntil);
    return calm ? Math.max(notBefore, calmUntil) : notBefore;
  }

  function run(asked: Asked = {}): Promise<T> {
    if (running) return running;
    if (mustWait(asked)) return Promise.resolve(last);
    running = attempt().finally(() => {
      running = undefined;
    });
    return running;
  }

  return { run, isRunning: () => running !== undefined, hold: inTurn };
}

type InTurn = <R>(work: () => Promise<R>) => Promise<R>;

/** One after the other, over all windows where the browser can. */
function turnTaker(lock: string, locks: LockManager | undefined): InTurn {
  if (locks) return async <R>(work: () => Promise<R>) => (await locks.request(lock, work)) as R;
  let before: Promise<unknown> = Promise.resolve();
  return <R>(work: () => Promise<R>) => {
    const mine = before.then(work);
    before = mine.catch(() => undefined);
    return mine;
  };
}
