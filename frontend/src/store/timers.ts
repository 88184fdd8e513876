/* The one place where the store and the sync wait for time. */

/** Does the work later, unless it is called off before. */
export type Later = (ms: number, work: () => void) => () => void;

export const later: Later = (ms, work) => {
  const timer = setTimeout(work, ms);
  return () => clearTimeout(timer);
};

type Scheduler = {
  postTask: (work: () => void, options: { priority: string }) => Promise<void>;
};

/** Lets everything else that waits have its turn. */
export function turn(): Promise<void> {
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
}
