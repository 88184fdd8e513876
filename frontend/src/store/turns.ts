/* Lets the mechanic's own entries go first: a running sync waits between its small batches. */

let waiting = 0;
const settled: Array<() => void> = [];

/** Counts a write of the mechanic's until it is done. */
export async function inFront<T>(work: () => Promise<T>): Promise<T> {
  waiting += 1;
  try {
    return await work();
  } finally {
    waiting -= 1;
    if (waiting === 0) for (const resolve of settled.splice(0)) resolve();
  }
}

/** Resolves when no write of the mechanic's waits; always gives other work one turn. */
export async function yieldTurn(): Promise<void> {
  await new Promise((resolve) => setTimeout(resolve, 0));
  if (waiting > 0) await new Promise<void>((resolve) => settled.push(resolve));
}
