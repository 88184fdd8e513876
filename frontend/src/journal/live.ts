/**
 * Which entries of a job still stand?
 * Taken as a set: no order of arrival, no repeat and no clock can change the answer.
 * See also shopfloor/journal/live.py.
 */
import { isReadable, isRedacted, redact, uuidIn } from "./bodies";
import { DESK_KINDS, type Entry, KNOWN_VERSION, toWire } from "./entry";
import type { Head } from "./state";
import { byCodeUnits, canonicalJson } from "./values";

/** Every entry that can be read and is not superseded, redacted where asked, by id. */
export function liveHeads(entries: Iterable<Entry>): Head[] {
  const unique = uniqueEntries(entries);
  const gone = supersededIds(unique);
  const blanked = redactedIds(unique);
  return [...unique.values()].flatMap((entry) =>
    gone.has(entry.id) ? [] : read(entry, blanked.has(entry.id)),
  );
}

/**
 * One entry for each id, by id. Two entries of one id with different content should not exist; the
 * server refuses the second. Should they meet all the same, every phone must keep the same one: the
 * lower canonical text.
 */
function uniqueEntries(entries: Iterable<Entry>): Map<string, Entry> {
  const kept = new Map<string, Entry>();
  for (const entry of entries) {
    const other = kept.get(entry.id);
    if (other === undefined || (other !== entry && text(entry) < text(other))) {
      kept.set(entry.id, entry);
    }
  }
  return new Map([...kept].sort(([left], [right]) => byCodeUnits(left, right)));
}

/**
 * The ids that another entry replaces. What cannot be read still replaces: a newer app's entry must
 * not leave the older value standing. Two guards: only the desk replaces what the desk wrote, and a
 * void takes back own entries only.
 */
function supersededIds(entries: ReadonlyMap<string, Entry>): Set<string> {
  const gone = new Set<string>();
  for (const entry of entries.values()) {
    for (const id of entry.supersedes) {
      const target = entries.get(id);
      if (target !== undefined && mayReplace(entry, target)) gone.add(id);
    }
  }
  return gone;
}

/** Whether the entry's `supersedes` has force over that other entry. */
function mayReplace(entry: Entry, target: Entry): boolean {
  if (DESK_KINDS.has(target.kind)) return DESK_KINDS.has(entry.kind);
  return entry.kind !== "void" || entry.by === target.by;
}

/** A redaction cannot be taken back: it counts even when superseded. */
function redactedIds(entries: ReadonlyMap<string, Entry>): Set<string> {
  const redactions = [...entries.values()].filter(
    (entry) =>
      entry.kind === "redacted" && entry.v === KNOWN_VERSION && isReadable("redacted", entry.body),
  );
  return new Set(redactions.map((entry) => uuidIn(entry.body, "entry")));
}

function read(entry: Entry, blanked: boolean): Head[] {
  const blank = blanked || isRedacted(entry.body);
  const body = blank ? redact(entry.kind, entry.body) : entry.body;
  if (entry.v !== KNOWN_VERSION || !isReadable(entry.kind, body)) return [];
  return [{ id: entry.id, by: entry.by, at: entry.at, kind: entry.kind, body }];
}

function text(entry: Entry): string {
  return canonicalJson(toWire(entry));
}
