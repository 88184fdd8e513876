/**
 * Which place of a job does an entry speak about?
 * A place is one thing that can have one value: a step's tick, an item's found reading, the
 * promise. Kinds that only ever add to a list (notes, photos, findings, …) have no place.
 * See also shopfloor/journal/places.py.
 */
import { isReadable, uuidIn } from "./bodies";
import type { JsonObject } from "./values";

/** The name of the place; null for a list, an unknown kind or a body that cannot be read. */
export function placeOf(kind: string, body: JsonObject): string | null {
  const name = NAMES.get(kind);
  return name !== undefined && isReadable(kind, body) ? name(body) : null;
}

export function askPlace(step: string, item: string, phase: string): string {
  return `ask:${step}:${item}:${phase}`;
}

export function tickPlace(step: string): string {
  return `tick:${step}`;
}

export function checkPlace(step: string): string {
  return `check:${step}`;
}

/** Whether the place belongs to this step of the route. */
export function isOfStep(place: string, step: string): boolean {
  return (
    place === tickPlace(step) || place === checkPlace(step) || place.startsWith(`ask:${step}:`)
  );
}

/** The same for many steps at once. */
export function isOfAny(place: string, steps: ReadonlySet<string>): boolean {
  if (place.startsWith("tick:")) return steps.has(place.slice("tick:".length));
  if (place.startsWith("check:")) return steps.has(place.slice("check:".length));
  if (!place.startsWith("ask:")) return false;
  const name = place.slice("ask:".length);
  // Where a key ends cannot be told from the place alone.
  for (let end = name.indexOf(":"); end >= 0; end = name.indexOf(":", end + 1)) {
    if (steps.has(name.slice(0, end))) return true;
  }
  return false;
}

function ask(body: JsonObject): string {
  return askPlace(String(body.step), String(body.item), String(body.phase));
}

const NAMES: ReadonlyMap<string, (body: JsonObject) => string> = new Map<
  string,
  (body: JsonObject) => string
>([
  ["tick", (body) => tickPlace(String(body.step))],
  ["choice", ask],
  ["reading", ask],
  ["hands-off", (body) => `hands:${uuidIn(body, "on")}`],
  ["check", (body) => checkPlace(String(body.step))],
  ["opened", () => "opened"],
  ["asked", (body) => `offer:${uuidIn(body, "offer")}`],
  ["answer", (body) => `answer:${uuidIn(body, "offer")}:${body.version}`],
  ["parts-in", (body) => `parts:${uuidIn(body, "finding")}`],
  ["promise", () => "promise"],
  ["released", () => "released"],
  ["collected", () => "collected"],
  ["cancelled", () => "cancelled"],
]);
