/* The one line that says what is kept on this phone and not yet sent, since when, and why. */
import type { Kept, SyncFacts } from "../store/schema";
import { say } from "../words/bench";
import { Glyph } from "./glyph";
import { type Clock, dayInWords, timeOfDay, whenInWords } from "./words";

export type Truth = { kept: Kept; facts: SyncFacts; running: boolean; clock: Clock };

const MINUTE_MS = 60_000;
const CLOCK_WRONG_MS = 10 * MINUTE_MS;

function what({ kept }: Truth): string {
  const more = [
    kept.photos > 0 ? say("truth.photos", { n: kept.photos }) : "",
    kept.walkIns > 0 ? say("truth.walk-ins", { n: kept.walkIns }) : "",
  ].filter(Boolean);
  if (kept.entries > 0 && more.length === 0) return say("truth.entries", { n: kept.entries });
  const things = kept.entries > 0 ? [say("kept.entries", { n: kept.entries }), ...more] : more;
  const last = things.pop() ?? "";
  const first = things.join(say("truth.comma"));
  return first ? say("truth.and", { first, last }) : last;
}

function reason({ facts }: Truth): string {
  if (facts.problem === null) return "";
  return say(`truth.why-${facts.problem}`);
}

/** Today's times without the day. */
function shortWhen(iso: string, clock: Clock): string {
  const isToday = dayInWords(iso, clock) === say("when.today");
  return isToday ? timeOfDay(iso, clock) : whenInWords(iso, clock);
}

export function truthSentence(truth: Truth): string {
  const waiting = what(truth);
  return waiting === "" ? nothingWaits(truth) : waits(truth, waiting);
}

function nothingWaits(truth: Truth): string {
  const { facts, clock } = truth;
  if (facts.last_at === null) return say(truth.running ? "truth.fetching" : "truth.nothing-yet");
  if (facts.problem === null) return say("truth.all-sent");
  return say("truth.all-sent-but", {
    why: reason(truth),
    when: shortWhen(facts.last_at, clock),
  });
}

function waits(truth: Truth, what: string): string {
  const { kept, facts, clock } = truth;
  if (truth.running && facts.problem === null) return say("truth.sending", { what });
  const since = kept.oldestAt ? shortWhen(kept.oldestAt, clock) : "";
  const why = reason(truth);
  const key = `truth.kept${since ? "-since" : ""}${why ? "-why" : ""}` as const;
  return say(key, { what, since, why });
}

/** How wrong this phone's clock is, if it is worth a word. */
export function clockSentence(facts: SyncFacts): string {
  const offset = facts.clock_offset_ms;
  if (Math.abs(offset) <= CLOCK_WRONG_MS) return "";
  return say(offset < 0 ? "clock.fast" : "clock.slow", { amount: span(Math.abs(offset)) });
}

function span(ms: number): string {
  const minutes = ms / MINUTE_MS;
  const [hours, days, years] = [minutes / 60, minutes / 1440, minutes / 525_600];
  if (minutes < 120) return say("clock.minutes", { n: Math.round(minutes) });
  if (hours < 48) return say("clock.hours", { n: Math.round(hours) });
  if (days < 730) return say("clock.days", { n: Math.round(days) });
  return say("clock.years", { n: Math.round(years) });
}

function isCalm({ kept, facts }: Truth): boolean {
  const waiting = kept.entries + kept.photos + kept.walkIns;
  return waiting + kept.refused === 0 && facts.problem === null;
}

/** Equal texts mean that the line looks the same. */
export function truthInShort(truth: Truth): string {
  const { kept, facts } = truth;
  const parts = [facts.problem, kept.refused, clockSentence(facts)];
  return [truthSentence(truth), ...parts].join(" | ");
}

/** Whoever listens hears of what needs somebody; a count that changes with every entry would drown the entry. */
function isTold({ kept, facts }: Truth): boolean {
  return kept.refused > 0 || (facts.problem !== null && facts.problem !== "offline");
}

export function TruthLine({ truth, oob }: { truth: Truth; oob?: boolean }) {
  const { kept, facts } = truth;
  const clock = clockSentence(facts);
  return (
    <p
      id="truth"
      class={isCalm(truth) ? "truth sent" : "truth"}
      {...(isTold(truth) ? { role: "status" } : {})}
      data-quiet
      hx-get="/bench/truth"
      hx-trigger="bench:truth from:body"
      hx-swap="outerMorph"
      hx-sync="this:replace"
      {...(oob ? { "hx-swap-oob": "outerMorph" } : {})}
    >
      {facts.problem === "offline" ? <Glyph name="offline" /> : null}
      <a href="/bench/kept">{truthSentence(truth)}</a>
      {facts.problem === "sign-in" ? (
        <a class="strong" href="/bench/enrol">
          {say("truth.sign-in")}
        </a>
      ) : null}
      {kept.refused > 0 ? (
        <a class="strong" href="/bench/kept#refused">
          {say("truth.refused", { n: kept.refused })}
        </a>
      ) : null}
      {clock ? <span>{clock}</span> : null}
    </p>
  );
}
