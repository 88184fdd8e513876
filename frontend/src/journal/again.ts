/**
 * Which steps does work that was agreed later open again, and which entries come after that work?
 * A set of entries has no order, so an entry on such a step keeps as `seen` what stood when it was
 * written. See also shopfloor/journal/again.py: fixtures/cases/journal/progress.json holds both.
 */
import type { Reason } from "../trade/route";
import { isOfStep } from "./places";
import type { Head, JobState } from "./state";

/**
 * A step of added work that undoes what was done on another step. An entry that comes after the work
 * has seen one of each group: of what added it, and of what stands at each of its places. With items
 * it undoes only those of the other step.
 */
export type Reopener = Reason & {
  items: readonly string[] | undefined;
  groups: readonly (readonly string[])[];
};
export type Reopeners = ReadonlyMap<string, readonly Reopener[]>;

/** By the key of the step that is open again. */
export function listReopeners(state: JobState): Reopeners {
  const found = new Map<string, Reopener[]>();
  for (const { id, steps } of state.added) {
    for (const { key, reopens } of steps) {
      if (!reopens?.length) continue;
      const standing = Object.entries(state.places).filter(([place]) => isOfStep(place, key));
      const groups = [[id], ...standing.map(([, heads]) => heads.map((head) => head.id))];
      for (const one of reopens) {
        const items = one.items?.length ? one.items : undefined;
        const reopener = { key, because: one.because, items, groups };
        found.set(one.key, [...(found.get(one.key) ?? []), reopener]);
      }
    }
  }
  return found;
}

/** Those that undo what was left at this item of their step; without one, the whole step. */
export function undoing(reopeners: readonly Reopener[] = [], item?: string): Reopener[] {
  return reopeners.filter(({ items }) => !items || (item !== undefined && items.includes(item)));
}

/** Whether one of the entries comes after all the work that opens their step again. */
export function isFresh(heads: readonly Head[], reopeners: readonly Reopener[]): boolean {
  return heads.some(({ body }) => {
    const seen: unknown[] = Array.isArray(body.seen) ? body.seen : [];
    return reopeners.every(({ groups }) =>
      groups.every((group) => group.some((id) => seen.includes(id))),
    );
  });
}

/** What an entry on this step keeps as `seen`; nothing where nothing opens the step again. */
export function seenOn(step: string, state: JobState): { seen?: string[] } {
  const reopeners = listReopeners(state).get(step);
  return reopeners ? { seen: [...new Set(reopeners.flatMap(({ groups }) => groups.flat()))] } : {};
}
