/* Lets the mechanic's own entries go first: a running sync waits between its small batches. */
import { turn } from "./timers";

/** While nobody writes, a sync takes larger steps; after a write it takes small ones for a while. */
const LARGE = 500;
const SMALL = 40;
const SMALL_STEPS = 25;

let waiting = 0;
let smallSteps = 0;
const settled: Array<() => void> = [];

/** Counts a write of the mechanic's until it is done. */
export async function inFront<T>(work: () => Promise<T>): Promise<T> {
  waiting += 1;
  smallSteps = SMALL_STEPS;
  try {
    return await work();
  } finally {
    waiting -= 1;
    if (waiting === 0) for (const resolve of settled.splice(0)) resolve();
  }
}

/** Resolves when no write of the mechanic's waits; always gives other work one turn. */
export async function yieldTurn(): Promise<void> {
  await turn();
  if (waiting > 0) await new Promise<void>((resolve) => settled.push(resolve));
}

/** How many entries a running sync takes in at the next step. */
export function batchSize(): number {
  if (smallSteps === 0) return LARGE;
  smallSteps -= 1;
  return SMALL;
}
