/**
 * What is one entry of a job's journal, and is this raw value one?
 * Only the envelope is judged here; what a body means is asked in bodies.ts, and an unknown kind or
 * version is never refused for being new. See also shopfloor/journal/entry.py.
 */
import { instantMs } from "./instants";
import { canonicalJson, isObject, type JsonObject } from "./values";

export type Entry = {
  v: number;
  id: string;
  job: string;
  kind: string;
  device: string;
  n: number;
  by: string;
  at: string;
  body: JsonObject;
  supersedes: readonly string[];
};

/** What parseEntry throws: `code` says which part is wrong, `message` says it to a person. */
export type MalformedEntry = Error & { name: "MalformedEntry"; code: string };

export const KNOWN_VERSION = 1;
export const BENCH_KINDS: ReadonlySet<string> = new Set([
  "tick",
  "choice",
  "reading",
  "photo",
  "note",
  "finding",
  "hands-on",
  "hands-off",
  "check",
  "void",
]);
export const DESK_KINDS: ReadonlySet<string> = new Set([
  "opened",
  "asked",
  "answer",
  "route-added",
  "parts-in",
  "promise",
  "released",
  "collected",
  "cancelled",
  "redacted",
  "withdrawn",
]);

const MAX_BODY_BYTES = 32_768;
const MAX_SUPERSEDES = 100;
const MAX_DEPTH = 20;
const MAX_COUNT = 2_147_483_647; // what a 32-bit column holds

const UUID = /^[0-9a-fA-F]{8}(-[0-9a-fA-F]{4}){3}-[0-9a-fA-F]{12}$/;
const KIND = /^[a-z][a-z-]{0,39}$/;
// A null character has no place in PostgreSQL's jsonb, half a surrogate pair none in UTF-8.
const UNSTORABLE = /[\0\p{Surrogate}]/u;

/**
 * The entry in a value that came from JSON, its ids in lower case. Fields that are not known are
 * left out. Throws MalformedEntry.
 */
export function parseEntry(raw: unknown): Entry {
  if (!isObject(raw)) refuse("not-an-object", "An entry must be a JSON object.");
  return {
    v: count(raw, "v"),
    id: uuid(raw, "id"),
    job: uuid(raw, "job"),
    kind: kindOf(raw),
    device: uuid(raw, "device"),
    n: count(raw, "n"),
    by: uuid(raw, "by"),
    at: atOf(raw),
    body: bodyOf(raw),
    supersedes: supersedesOf(raw),
  };
}

export function isMalformedEntry(error: unknown): error is MalformedEntry {
  return error instanceof Error && error.name === "MalformedEntry";
}

/** The entry as the JSON object that travels. */
export function toWire(entry: Entry): JsonObject {
  const { v, id, job, kind, device, n, by, at, body, supersedes } = entry;
  return { v, id, job, kind, device, n, by, at, body, supersedes: [...supersedes] };
}

/** The value in lower case if it is written as a UUID. */
export function findUuid(value: unknown): string | null {
  return typeof value === "string" && UUID.test(value) ? value.toLowerCase() : null;
}

/** A whole number that a 32-bit column holds. */
export function isCount(value: unknown, least = 1): value is number {
  return Number.isInteger(value) && Number(value) >= least && Number(value) <= MAX_COUNT;
}

function refuse(code: string, message: string): never {
  throw Object.assign(new Error(message), { name: "MalformedEntry", code });
}

function count(raw: JsonObject, field: string): number {
  const value = raw[field];
  if (!isCount(value)) {
    refuse(`bad-${field}`, `The entry's ${field} must be a whole number from 1 up.`);
  }
  return value;
}

function uuid(raw: JsonObject, field: string): string {
  const found = findUuid(raw[field]);
  if (found === null) refuse(`bad-${field}`, `The entry's ${field} must be a UUID.`);
  return found;
}

function kindOf(raw: JsonObject): string {
  const kind = raw.kind;
  if (typeof kind !== "string" || !KIND.test(kind)) {
    refuse("bad-kind", "The entry's kind must be 1 to 40 small letters and hyphens.");
  }
  return kind;
}

function atOf(raw: JsonObject): string {
  const at = raw.at;
  if (typeof at !== "string" || instantMs(at) === null) {
    refuse("bad-at", "The entry's at must be a date and time with its zone.");
  }
  return at;
}

function bodyOf(raw: JsonObject): JsonObject {
  const body = raw.body;
  if (!isObject(body)) refuse("bad-body", "The entry's body must be a JSON object.");
  checkJson(body, 1);
  if (new TextEncoder().encode(canonicalJson(body)).length > MAX_BODY_BYTES) {
    refuse("body-too-large", "The entry's body is larger than 32 kB; write a shorter text.");
  }
  return body;
}

function checkJson(value: unknown, depth: number): void {
  if (depth > MAX_DEPTH) refuse("body-too-deep", "The entry's body is nested too deep.");
  if (Array.isArray(value)) {
    for (const member of value) checkJson(member, depth + 1);
  } else if (isObject(value)) {
    for (const [name, member] of Object.entries(value)) {
      checkText(name);
      checkJson(member, depth + 1);
    }
  } else if (typeof value === "number") {
    checkNumber(value);
  } else if (value !== null && typeof value !== "boolean") {
    checkText(value);
  }
}

function checkText(text: unknown): void {
  if (typeof text !== "string") {
    refuse("bad-body", "The entry's body holds something that is not JSON.");
  }
  if (UNSTORABLE.test(text)) {
    refuse("bad-text", "The entry holds a character that cannot be stored; write it again.");
  }
}

// Beyond 2^53 the two languages read different numbers.
function checkNumber(number: number): void {
  if (!(Math.abs(number) <= Number.MAX_SAFE_INTEGER)) {
    refuse("bad-number", "The entry holds a number that is too large or not a number.");
  }
}

function supersedesOf(raw: JsonObject): string[] {
  const listed = raw.supersedes;
  if (!Array.isArray(listed)) {
    refuse("bad-supersedes", "The entry's supersedes must be a list of ids.");
  }
  if (listed.length > MAX_SUPERSEDES) {
    refuse("too-many-supersedes", "An entry can replace at most 100 others.");
  }
  return listed.map((value) => {
    const found = findUuid(value);
    if (found === null) refuse("bad-supersedes", "The entry's supersedes must hold UUIDs only.");
    return found;
  });
}
