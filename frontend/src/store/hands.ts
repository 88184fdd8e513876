/* Who has hands on which bike, as the summaries know it, and what was said when the bench asked about it. */
import { edit, withDatabase } from "./database";
import type { JobRow, RunningHands } from "./schema";

/** Longer than anybody's hands stay on; what was said before then is of no use any more. */
const FORGET_MS = 2 * 86_400_000;

type Said = Record<string, string>;

/** The open hands of one person, or of whoever is at work, on the bikes in the house; the longest first. */
export async function listHands(of?: string): Promise<RunningHands[]> {
  return withDatabase(async (database) => {
    const tx = database.transaction(["jobs", "meta"]);
    const [rows, said, atWork] = await Promise.all([
      tx.objectStore("jobs").index("house").getAll(),
      tx.objectStore("meta").get("still") as Promise<Said | undefined>,
      tx.objectStore("meta").get("person") as Promise<string | undefined>,
    ]);
    const person = of ?? atWork;
    const running = rows.flatMap((row) => (person ? handsOf(row, person, said ?? {}) : []));
    return running.sort((one, other) => (one.at < other.at ? -1 : 1));
  });
}

function handsOf({ id: job, brief, summary }: JobRow, person: string, said: Said): RunningHands[] {
  if (!brief || !summary?.hands) return [];
  return summary.hands
    .filter((each) => each.by === person)
    .map((each) => ({ ...each, job, number: brief.number, still: said[each.id] ?? "" }));
}

/** Somebody was asked and is still on it: no entry, but not asked again about the time before. */
export async function noteStill(hands: string, at: string): Promise<void> {
  await edit(["meta"], async (tx) => {
    const meta = tx.objectStore("meta");
    const known = ((await meta.get("still")) ?? {}) as Said;
    const fresh = Object.entries(known).filter(
      ([, said]) => Date.parse(at) - Date.parse(said) < FORGET_MS,
    );
    await meta.put({ ...Object.fromEntries(fresh), [hands]: at }, "still");
  });
}
