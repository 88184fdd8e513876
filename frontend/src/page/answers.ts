/*
 * Puts the answer to a tap on the page: each of its parts brings the element of its name to what it says. Does for
 * the small answers what htmx does for all, without its dozen of events for each part; what it leaves, htmx takes.
 *
 * What was tapped is drawn first and alone, for a finger waits for it; the rest follows in the next frame.
 */
import { isPatchable, patch, refill } from "./patch";

const OUT_OF_BAND = "hx-swap-oob";

type Part = { old: Element; fresh: Element; inside: boolean };
type Place = { target: Element | null; swap: string };
/** Told of each element in which something is to be wired. */
type Wire = (element: Element) => void;

let rest: (() => void) | undefined;

/** Draws what is left of the answer before: nothing older may come over what is newer. */
export function finishAnswer(): void {
  const work = rest;
  rest = undefined;
  work?.();
}

/** Returns whether the answer is on the page; otherwise it was left as it is. */
export async function applyAnswer(text: string, place: Place, wire: Wire): Promise<boolean> {
  const template = document.createElement("template");
  template.innerHTML = text;
  const drawn = [...template.content.children];
  const parts = drawn.flatMap((fresh) => partFor(fresh, place) ?? []);
  if (parts.length === 0 || parts.length < drawn.length) return false;
  const tapped = parts.filter(({ old }) => old === place.target);
  const others = parts.filter(({ old }) => old !== place.target);
  for (const part of tapped) draw(part, wire);
  const mine = () => {
    for (const part of others) draw(part, wire);
  };
  rest = mine;
  if (tapped.length > 0 && others.length > 0) await painted();
  if (rest === mine) finishAnswer();
  return true;
}

function partFor(fresh: Element, { target, swap }: Place): Part | undefined {
  const oob = fresh.getAttribute(OUT_OF_BAND);
  fresh.removeAttribute(OUT_OF_BAND);
  const old = oob === null ? target : document.getElementById(fresh.id);
  const how = oob ?? swap;
  const inside = how === "innerHTML" && oob !== null;
  if (!old || !(inside || how === "outerMorph") || !isPatchable(old, fresh)) return undefined;
  return { old, fresh, inside };
}

function draw({ old, fresh, inside }: Part, wire: Wire): void {
  for (const element of (inside ? refill : patch)(old, fresh)) wire(element);
}

/** A page that nobody looks at draws no frames. */
const NO_FRAME_MS = 100;

function painted(): Promise<void> {
  return new Promise((resolve) => {
    setTimeout(resolve, NO_FRAME_MS);
    requestAnimationFrame(() => setTimeout(resolve));
  });
}
