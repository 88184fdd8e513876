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
  const heads: Head[] = [];
  for (const entry of unique.values()) {
    if (!gone.has(entry.id)) heads.push(...read(entry, blanked.has(entry.id)));
  }
  return heads;
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
  return isInOrder(kept) ? kept : new Map([...kept].sort(inOrder));
}

function inOrder([left]: [string, Entry], [right]: [string, Entry]): number {
  return byCodeUnits(left, right);
}

/** As they come from a phone's database. */
function isInOrder(entries: ReadonlyMap<string, Entry>): boolean {
  let before = "";
  for (const id of entries.keys()) {
    if (id < before) return false;
    before = id;
  }
  return true;
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
  const blanked = new Set<string>();
  for (const { kind, v, body } of entries.values()) {
    if (kind === "redacted" && v === KNOWN_VERSION && isReadable(kind, body))
      blanked.add(uuidIn(body, "entry"));
  }
  return blanked;
}

// An entry never changes: a job with one more is folded again without reading the others again.
const known = new WeakMap<Entry, Head[]>();

function read(entry: Entry, blanked: boolean): Head[] {
  if (blanked) return readAnew(entry, true);
  const heads = known.get(entry) ?? readAnew(entry, false);
  known.set(entry, heads);
  return heads;
}

function readAnew(entry: Entry, blanked: boolean): Head[] {
  const blank = blanked || isRedacted(entry.body);
  const body = blank ? redact(entry.kind, entry.body) : entry.body;
  if (entry.v !== KNOWN_VERSION || !isReadable(entry.kind, body)) return [];
  return [{ id: entry.id, by: entry.by, at: entry.at, kind: entry.kind, body }];
}

function text(entry: Entry): string {
  return canonicalJson(toWire(entry));
}
