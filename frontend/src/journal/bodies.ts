/**
 * Which bodies can be read, and what is left of one after a redaction?
 * A body of the wrong shape is not an error: the entry is kept and takes no part in the job's state.
 * See also shopfloor/journal/bodies.py.
 */
import { findUuid } from "./entry";
import { fits, SHAPES } from "./shapes";
import { type JsonObject, sameValue } from "./values";

// How and with what a value was taken; two mechanics who agree on the value agree. Of two ends of
// the same work the earlier counts, so they are none either.
const NOT_THE_VALUE: ReadonlySet<string> = new Set([
  "instrument",
  "u",
  "seen",
  "redacted",
  "until",
]);

/** Whether the kind is known here and every field it needs has the right type. */
export function isReadable(kind: string, body: JsonObject): boolean {
  const shape = SHAPES.get(kind);
  if (shape === undefined) return false;
  const all = [...Object.keys(shape.must), ...Object.keys(shape.may)];
  const fields = isRedacted(body) ? all.filter((name) => shape.kept.includes(name)) : all;
  return fields.every((name) => fits(shape, name, body)) && !lacksValue(kind, body);
}

export function isRedacted(body: JsonObject): boolean {
  return body.redacted === true;
}

/**
 * The body without what a person wrote or photographed. Redacting twice changes nothing more, so a
 * phone that still has the text and one that was only ever given the rest come to the same state.
 * An unknown kind keeps nothing.
 */
export function redact(kind: string, body: JsonObject): JsonObject {
  const kept: JsonObject = {};
  for (const name of SHAPES.get(kind)?.kept ?? []) {
    if (Object.hasOwn(body, name)) kept[name] = body[name];
  }
  return { ...kept, redacted: true };
}

/** Whether two bodies say the same, whatever instrument said it. */
export function agree(left: JsonObject, right: JsonObject): boolean {
  return sameValue(said(left), said(right));
}

/** The id in a field that isReadable has checked, in lower case. */
export function uuidIn(body: JsonObject, field: string): string {
  return findUuid(body[field]) ?? "";
}

function said(body: JsonObject): JsonObject {
  return Object.fromEntries(
    Object.entries(body).filter(([name, value]) => value != null && !NOT_THE_VALUE.has(name)),
  );
}

/** A reading without a number says something only when it says: loose. */
function lacksValue(kind: string, body: JsonObject): boolean {
  return kind === "reading" && body.value === null && body.loose !== true;
}
