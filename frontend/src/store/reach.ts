/* Which of the server's numbers are here without a hole. Pure. */
import type { Run } from "./outbox";

type Numbered = { seq: number };

/**
 * How far the numbers go on from the cursor, over what came now and what the server just numbered of
 * ours. What lies behind a hole is left out.
 */
export function reachFrom<T extends Numbered>(
  cursor: number,
  came: readonly T[],
  runs: readonly Run[],
): { whole: T[]; cursor: number } {
  const whole: T[] = [];
  let reached = cursor;
  for (const each of came) {
    if (each.seq <= reached) continue;
    reached = overRuns(reached, runs);
    if (each.seq > reached + 1) return { whole, cursor: reached };
    if (each.seq === reached + 1) whole.push(each);
    reached = Math.max(reached, each.seq);
  }
  return { whole, cursor: overRuns(reached, runs) };
}

function overRuns(cursor: number, runs: readonly Run[]): number {
  let reached = cursor;
  for (const { seq, count } of [...runs].sort((one, other) => one.seq - other.seq)) {
    if (seq <= reached + 1) reached = Math.max(reached, seq + count - 1);
  }
  return reached;
}
