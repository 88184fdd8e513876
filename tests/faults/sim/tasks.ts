/* The turns that a phone's database takes: stands in for the scheduling of fake-indexeddb. */

let runner: ((task: () => void) => void) | undefined;

/** Whose database is at work just now; events run one at a time, so there is only one. */
export function withTasks<T>(run: (task: () => void) => void, work: () => T): T {
  const before = runner;
  runner = run;
  try {
    return work();
  } finally {
    runner = before;
  }
}

export function setTasks(run: ((task: () => void) => void) | undefined): void {
  runner = run;
}

export function queueTask(task: () => void): void {
  if (!runner) throw new Error("a database was used outside every phone");
  runner(task);
}
