/*
 * How much waits on this phone, as it was counted last, with what was written since. Counting goes through
 * everything that waits, and after a day without signal that takes longer than a tick may.
 */
import type { Entry } from "../journal/entry";
import { withDatabase } from "./database";
import { countKept } from "./outbox";
import type { Kept } from "./schema";

// By connection: a database that was deleted and made anew is another one.
const tallies = new WeakMap<object, Kept>();
let added = 0;

/** Counted in the database. */
export async function countAnew(): Promise<Kept> {
  const before = added;
  const kept = await countKept();
  await withDatabase(async (database) => {
    // Something was written meanwhile: nobody knows whether it is in the count.
    if (added === before) tallies.set(database, kept);
    else tallies.delete(database);
  });
  return kept;
}

/** Good enough for the answer to a tap: whatever else changes makes every page count anew soon. */
export async function lastCount(): Promise<Kept> {
  const known = await withDatabase(async (database) => tallies.get(database));
  return known ?? countAnew();
}

/** One more entry waits, and its photo if it has one. */
export function addToTally(database: object, entry: Entry, photos: number): void {
  added += 1;
  const kept = tallies.get(database);
  if (!kept) return;
  tallies.set(database, withOneMore(kept, entry, photos));
}

export function withOneMore(kept: Kept, entry: Entry, photos = 0): Kept {
  return {
    ...kept,
    entries: kept.entries + 1,
    photos: kept.photos + photos,
    oldestAt: kept.oldestAt ?? entry.at,
  };
}
