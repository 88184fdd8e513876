/**
 * What takes an entry back so that its place is as it was before?
 * An entry that is replaced stays replaced, whatever becomes of the one that replaced it; so what
 * stood before is said again. Where nothing stood, the entry is taken back and nothing is said.
 */
import type { Entry } from "./entry";

export type Saying = Pick<Entry, "kind" | "body" | "supersedes">;

/** Null when something newer stands in the entry's place already. */
export function undoing(entry: Entry, entries: readonly Entry[], reason: string): Saying[] | null {
  const replaced = (id: string, by: (other: Entry) => boolean) =>
    entries.some((other) => by(other) && other.supersedes.includes(id));
  if (replaced(entry.id, () => true)) return null;
  const before = entries.filter(
    (other) =>
      entry.supersedes.includes(other.id) && !replaced(other.id, (one) => one.id !== entry.id),
  );
  const supersedes = [entry.id];
  if (before.length === 0) return [{ kind: "void", body: { reason }, supersedes }];
  return before.map(({ kind, body }) => ({ kind, body, supersedes }));
}
