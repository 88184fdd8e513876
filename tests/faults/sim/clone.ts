/*
 * Copies what goes into a phone's database and what comes out of it. Plain data is frozen when it is kept, and
 * what cannot change need not be copied again; all else is copied as the platform does, each time.
 */

const ofThePlatform = globalThis.structuredClone;
/** Plain through and through, and frozen so. */
const kept = new WeakSet<object>();

const isKept = (value: unknown): boolean =>
  value === null || (typeof value === "object" ? kept.has(value) : typeof value !== "function");

export function cloneValue<T>(value: T): T {
  // Functions and symbols are refused by the platform, in its words.
  if (typeof value === "function" || typeof value === "symbol") return ofThePlatform(value);
  if (typeof value !== "object" || value === null || kept.has(value)) return value;
  if (Array.isArray(value)) return keep(value.map(cloneValue)) as T;
  if (Object.getPrototypeOf(value) !== Object.prototype) return ofThePlatform(value);
  const copy: Record<string, unknown> = {};
  for (const key of Object.keys(value)) copy[key] = cloneValue((value as typeof copy)[key]);
  return keep(copy) as T;
}

function keep(copy: object): object {
  if (Object.values(copy).every(isKept)) kept.add(Object.freeze(copy));
  return copy;
}
