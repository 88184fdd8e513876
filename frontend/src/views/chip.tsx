/* Chips: a word and its own shape for a verdict, a place, a safety mark, a compound. */
import type { PlaceName } from "../journal/state";
import type { Verdict } from "../trade/verdict";
import { say, word } from "../words/bench";
import { Glyph, type GlyphName } from "./glyph";

const VERDICT_SIGNS: Record<Verdict | "", GlyphName> = {
  sound: "sound",
  watch: "watch",
  renew: "renew",
  unsafe: "unsafe",
  "measure again": "measure-again",
  "": "no-reading",
};

const PLACE_SIGNS: Record<PlaceName, GlyphName> = {
  booked: "booked",
  "on the stand": "on-the-stand",
  asking: "asking",
  parts: "parts",
  ready: "ready",
  collected: "collected",
  cancelled: "cancelled",
};

export function VerdictChip({ verdict }: { verdict: Verdict | "" }) {
  return (
    <span class={`chip ${VERDICT_SIGNS[verdict]}`}>
      <Glyph name={VERDICT_SIGNS[verdict]} />
      {say(`verdict.${verdict || "none"}`)}
    </span>
  );
}

export function PlaceChip({ place }: { place: string }) {
  return (
    <span class="chip">
      <Glyph name={PLACE_SIGNS[place as PlaceName] ?? "booked"} />
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
