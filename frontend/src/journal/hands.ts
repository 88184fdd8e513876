/**
 * How long have hands been on the bike, and where may somebody have gone and forgotten?
 * What is counted in the end is said by shopfloor/journal/hands.py.
 */
import type { Entry } from "./entry";
import { instantMs } from "./instants";
import type { OpenHands } from "./state";

/** So long without an entry of the person, the hands may have been off the bike. */
export const LONG_GAP_MS = 45 * 60_000;

/**
 * Hands that are on: since when, the newest entry of the person on this bike since, and the long
 * times between two entries, each as its start and its end.
 */
export type OpenStint = OpenHands & { last: string; gaps: [string, string][] };

export function openStints(entries: readonly Entry[], hands: readonly OpenHands[]): OpenStint[] {
  return hands.map((each) => {
    const start = ms(each.at);
    const times = entries
      .filter((entry) => entry.by === each.by && ms(entry.at) >= start)
      .map((entry) => entry.at)
      .sort((one, other) => ms(one) - ms(other));
    const pairs = times.map((at, index): [string, string] => [times[index - 1] ?? each.at, at]);
    const gaps = pairs.filter(([from, to]) => ms(to) - ms(from) >= LONG_GAP_MS);
    return { ...each, last: times.at(-1) ?? each.at, gaps };
  });
}

function ms(at: string): number {
  return instantMs(at) ?? 0;
}
