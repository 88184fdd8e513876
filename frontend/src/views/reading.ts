/* What an entry says, in words, and its value in the unit of the limits. What it means is judged by the journal. */
import type { Ask } from "../journal/route";
import type { Head } from "../journal/state";
import { elongationPercent, PITCH_MM } from "../trade/chain";
import { isTorqueUnit, toNewtonMetres } from "../trade/units";
import { say, word } from "../words/bench";
import { numeral } from "./words";

/** The value in the unit of the ask's own limits; null when it was found loose. */
export function canonicalValue(ask: Ask, value: number | null, unit: string): number | null {
  if (value === null) return null;
  if (ask.kind === "torque" && isTorqueUnit(unit)) return toNewtonMetres(value, unit);
  if (ask.also && unit === ask.also.unit) return elongationPercent(value, ask.also.pitches);
  return value;
}

/**
 * The standard uncertainty to write beside a value given in the ask's other unit: a ruler over so many
 * half links is as good as the ask says its percentage is.
 */
export function uncertaintyInOtherUnit(ask: Ask, unit: string): number | undefined {
  if (!ask.also || unit !== ask.also.unit || ask.uncertainty == null) return undefined;
  return Math.round((ask.uncertainty / 100) * ask.also.pitches * PITCH_MM * 1e4) / 1e4;
}

/** What one entry says, short enough for a button. */
export function said(head: Head, ask?: Ask): string {
  const { body } = head;
  if (head.kind === "reading") {
    if (body.value === null) return say("said.loose");
    return say("said.reading", { value: numeral(Number(body.value)), unit: String(body.unit) });
  }
  if (head.kind === "choice") {
    return ask?.choices?.find((each) => each.value === body.value)?.label ?? String(body.value);
  }
  if (head.kind === "photo") return word("photo-phase", String(body.phase));
  return word("outcome", String(body.outcome));
}
