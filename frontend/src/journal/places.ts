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
