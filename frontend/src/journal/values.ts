/**
 * When are two JSON values the same, and what is the one text of a value?
 * Both answers must be identical in Python and in TypeScript. See also shopfloor/journal/values.py.
 */

export type JsonObject = Record<string, unknown>;

export function isObject(value: unknown): value is JsonObject {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/** Deep equality of JSON values: true is not 1, "5" is not 5. */
export function sameValue(left: unknown, right: unknown): boolean {
  if (Array.isArray(left) && Array.isArray(right)) {
    return left.length === right.length && left.every((value, at) => sameValue(value, right[at]));
  }
  if (isObject(left) && isObject(right)) {
    const names = Object.keys(left);
    return (
      names.length === Object.keys(right).length &&
      names.every((name) => Object.hasOwn(right, name) && sameValue(left[name], right[name]))
    );
  }
  return left === right;
}

/**
 * The one text of a JSON value: keys in order, no spaces, numbers as ECMAScript writes them.
 * Source: RFC 8785, JSON Canonicalization Scheme, sections 3.2.2 and 3.2.3.
 */
export function canonicalJson(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(canonicalJson).join(",")}]`;
  if (!isObject(value)) return JSON.stringify(value);
  const members = Object.keys(value)
    .sort(byCodeUnits)
    .map((name) => `${JSON.stringify(name)}:${canonicalJson(value[name])}`);
  return `{${members.join(",")}}`;
}

export function byCodeUnits(left: string, right: string): number {
  if (left === right) return 0;
  return left < right ? -1 : 1;
}
