/* Asks the browser to wake the worker when there is signal, for what still waits when no page is open any more. */

export type Waking = {
  /** Something waits and could not go. */
  ask: () => void;
  /** What the browser woke the worker for; its failure makes the browser try again later by itself. */
  woken: (work: () => Promise<void>) => Promise<void>;
};

type WakingDeps = { now: () => Date; register: () => Promise<void> };

/** With signal the browser answers at once: asked at every failure, a server that is down would be asked without end. */
const EVERY_MS = 5 * 60_000;

export function createWaking({ now, register }: WakingDeps): Waking {
  let askedAt: number | undefined;
  let isAwake = false;

  function ask(): void {
    const at = now().getTime();
    if (isAwake || (askedAt !== undefined && Math.abs(at - askedAt) < EVERY_MS)) return;
    askedAt = at;
    // Few browsers can; the others send when the bench is opened.
    void register().catch(() => undefined);
  }

  async function woken(work: () => Promise<void>): Promise<void> {
    isAwake = true;
    try {
      await work();
      askedAt = undefined;
    } finally {
      isAwake = false;
    }
  }

  return { ask, woken };
}
