/* Chips: a word and its own shape for a verdict, a place, a safety mark, a compound. */
import type { Verdict } from "../trade/verdict";
import { say, word } from "../words/bench";
import { Glyph, type GlyphName, isGlyph } from "./glyph";

function slug(word: string): string {
  return word.replaceAll(" ", "-");
}

function named(name: string, fallback: GlyphName): GlyphName {
  return isGlyph(name) ? name : fallback;
}

export function VerdictChip({ verdict }: { verdict: Verdict | "" }) {
  const kind = verdict === "" ? "" : slug(verdict);
  return (
    <span class={`chip ${kind}`}>
      <Glyph name={named(kind, "no-reading")} />
      {say(`verdict.${verdict || "none"}`)}
    </span>
  );
}

export function PlaceChip({ place }: { place: string }) {
  return (
    <span class="chip">
      <Glyph name={named(slug(place), "booked")} />
      {word("place", place)}
    </span>
  );
}

export function SafetyMark() {
  return (
    <span class="chip bare">
      <Glyph name="safety" />
      {say("chip.safety")}
    </span>
  );
}

export function AddedMark() {
  return (
    <span class="chip">
      <Glyph name="added" />
      {say("chip.added")}
    </span>
  );
}

export function CompoundChip({ title }: { title: string }) {
  return (
    <span class="chip">
      <Glyph name="compound" />
      {title}
    </span>
  );
}
