/* The one place where the store and the sync wait for time: a simulator puts its own clock here. */

/** Does the work later, unless it is called off before. */
export type Later = (ms: number, work: () => void) => () => void;
export type Timers = {
  later: Later;
  /** Lets everything else that waits have its turn. */
  turn: () => Promise<void>;
};

type Scheduler = {
  postTask: (work: () => void, options: { priority: string }) => Promise<void>;
};

const REAL: Timers = {
  later: (ms, work) => {
    const timer = setTimeout(work, ms);
    return () => clearTimeout(timer);
  },
  turn: () => {
    const { scheduler } = globalThis as { scheduler?: Scheduler };
    if (scheduler?.postTask) return scheduler.postTask(() => undefined, { priority: "background" });
    return new Promise((resolve) => {
      // A timeout of nothing takes 4 ms when it is repeated; a message takes none.
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = () => {
        port1.close();
        resolve();
      };
      port2.postMessage(null);
    });
  },
};

let timers = REAL;

export function useTimers(other: Timers = REAL): void {
  timers = other;
}

export const later: Later = (ms, work) => timers.later(ms, work);
export const turn = (): Promise<void> => timers.turn();
