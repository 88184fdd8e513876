/*
 * Puts the answer to a tap on the page: each of its parts brings the element of its name to what it says. Does for
 * the small answers what htmx does for all, without its dozen of events for each part; what it leaves, htmx takes.
 */
import { isPatchable, patch, refill } from "./patch";

const OUT_OF_BAND = "hx-swap-oob";

type Part = { old: Element; fresh: Element; inside: boolean };
type Place = { target: Element | null; swap: string };

/** Returns the elements that have to be wired, or nothing when the answer was left as it is. */
export function applyAnswer(text: string, place: Place): Element[] | undefined {
  const template = document.createElement("template");
  template.innerHTML = text;
  const drawn = [...template.content.children];
  const parts = drawn.flatMap((fresh) => partFor(fresh, place) ?? []);
  if (parts.length === 0 || parts.length < drawn.length) return undefined;
  return parts.flatMap(({ old, fresh, inside }) => (inside ? refill : patch)(old, fresh));
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
