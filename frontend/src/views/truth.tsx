/* The one line that says what is kept on this phone and not yet sent, and why. */
import type { Kept, SyncFacts } from "../store/schema";
import { Glyph } from "./glyph";
import { type Clock, count, timeOfDay, whenInWords } from "./words";

export type Truth = { kept: Kept; facts: SyncFacts; running: boolean; clock: Clock };

const CLOCK_WRONG_MS = 5 * 60_000;

function what({ kept }: Truth): string {
  const things = [
    kept.entries > 0 ? String(kept.entries) : "",
    kept.photos > 0 ? count(kept.photos, "photo") : "",
  ].filter(Boolean);
  return things.join(" and ");
}

function reason({ facts }: Truth): string {
  if (facts.problem === "offline") return "no connection";
  if (facts.problem === "gap" || facts.problem === "server") return "the server has trouble";
  return "";
}

export function truthSentence(truth: Truth): string {
  const { kept, facts, clock } = truth;
  const waiting = what(truth);
  if (waiting === "") {
    if (facts.last_at === null) return truth.running ? "Fetching the jobs" : "Nothing fetched yet";
    const checked = `last checked ${whenInWords(facts.last_at, clock).replace(/^today /, "")}`;
    return reason(truth) ? `All sent; ${reason(truth)}, ${checked}` : "All sent";
  }
  if (facts.problem === "sign-in") return `${waiting} kept on this phone`;
  if (truth.running && facts.problem === null) return `Sending ${waiting}`;
  const oldest = kept.oldestAt ? `, oldest ${timeOfDay(kept.oldestAt, clock)}` : "";
  const why = reason(truth);
  return `${waiting} kept on this phone${oldest}${why ? `, ${why}` : ""}`;
}

function isCalm({ kept, facts }: Truth): boolean {
  return kept.entries + kept.photos + kept.refused === 0 && facts.problem === null;
}

export function TruthLine({ truth, oob }: { truth: Truth; oob?: boolean }) {
  return (
    <p
      id="truth"
      class={isCalm(truth) ? "truth sent" : "truth"}
      role="status"
      data-quiet
      hx-get="/bench/truth"
      hx-trigger="bench:truth from:body"
      hx-swap="outerMorph"
      hx-sync="this:replace"
      {...(oob ? { "hx-swap-oob": "outerMorph" } : {})}
    >
      {truth.facts.problem === "offline" ? <Glyph name="offline" /> : null}
      <a href="/bench/kept">{truthSentence(truth)}</a>
      {truth.facts.problem === "sign-in" ? (
        <a class="strong" href="/bench/enrol">
          Sign in again
        </a>
      ) : null}
      {truth.kept.refused > 0 ? (
        <a class="strong" href="/bench/kept#refused">
          {truth.kept.refused} refused
        </a>
      ) : null}
      {Math.abs(truth.facts.clock_offset_ms) > CLOCK_WRONG_MS ? (
        <span>{clockSentence(truth.facts.clock_offset_ms)}</span>
      ) : null}
    </p>
  );
}

export function clockSentence(offsetMs: number): string {
  const minutes = Math.round(Math.abs(offsetMs) / 60_000);
  const amount = minutes < 120 ? `${minutes} min` : `${Math.round(minutes / 60)} h`;
  return `This phone's clock is ${amount} ${offsetMs < 0 ? "fast" : "slow"}.`;
}
