/* What was typed into the pad: a value in a unit, the mark on the part, or the sentence that says what is wrong with it. */
import type { Instrument } from "../store/schema";
import { uncertaintyOf } from "../trade/instrument";
import { markFrom, parseNumber, unitsOf } from "../views/ask-screen";
import type { AskView } from "../views/job-model";
import type { MarkText } from "../views/mark";
import { canonicalValue, uncertaintyInOtherUnit } from "../views/reading";
import { say } from "../words/bench";
import { textOf } from "./record";

/** Half-typed numbers may be impossible readings: then there is no marker yet. */
export function canonicalOrNothing(ask: AskView, value: number, unit: string): number | undefined {
  try {
    return canonicalValue(ask.ask, value, unit) ?? undefined;
  } catch {
    return undefined;
  }
}

export type Typed = { value: number | null; unit: string; loose: boolean };
type Refused = { error: string };

export function typedOf(ask: AskView, form: FormData): Typed | Refused {
  const unit = textOf(form, "unit") || (ask.ask.unit ?? "");
  if (textOf(form, "loose") && ask.ask.kind === "torque") return { value: null, unit, loose: true };
  const text = textOf(form, "value");
  if (text === "") return { error: say("pad.empty") };
  const value = parseNumber(text);
  if (value === undefined) return { error: say("pad.no-number", { text: text.slice(0, 20) }) };
  if (!unitsOf(ask).includes(unit))
    return { error: say("pad.no-unit", { units: unitsOf(ask).join(", ") }) };
  return { value, unit, loose: false };
}

// A reading this many times beyond its scale is a slip of the finger or of the unit.
const BEYOND = 10;

/** The sentence of a reading that cannot be: a chain shorter than new, or one with three digits too many. */
export function impossible(ask: AskView, typed: Typed): string | undefined {
  try {
    const value = canonicalValue(ask.ask, typed.value, typed.unit) ?? 0;
    const top = ask.ask.scale?.[1];
    if (typed.value === null || !top || value <= BEYOND * top) return undefined;
    return say("pad.beyond", { value: typed.value, unit: typed.unit });
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  }
}

/**
 * The standard uncertainty to write beside a value. Of a torque it is the wrench's; of anything else
 * the instrument's where it is coarser than what the ask counts on. Nothing where the ask's own holds.
 */
export function uncertaintyFor(
  { ask }: AskView,
  instrument: Instrument | undefined,
  { value, unit }: Typed,
): number | undefined {
  const counted = uncertaintyInOtherUnit(ask, unit);
  const own = instrument && value !== null ? uncertaintyOf(instrument, value, unit) : undefined;
  if (own === undefined || own <= (counted ?? ask.uncertainty ?? 0)) return counted;
  return Math.round(own * 1e4) / 1e4;
}

export function markTyped(form: FormData): MarkText {
  return { low: textOf(form, "mark_min"), high: textOf(form, "mark_max") };
}

export function markProblem(typed: MarkText): string | undefined {
  for (const text of [typed.low, typed.high]) {
    if (text !== "" && parseNumber(text) === undefined) return say("mark.no-number", { text });
  }
  const { min, max } = markFrom(typed);
  if (typeof min === "number" && typeof max === "number" && min > max) return say("mark.swapped");
  return undefined;
}
