/* Hands on and off the bike: how long they are on, and the question that comes when nothing was written for long. */
import type { RunningHands } from "../store/schema";
import { say } from "../words/bench";
import { spanSince } from "../words/span";
import { actionAttributes, formAttributes, Hidden } from "./forms";
import { Glyph } from "./glyph";
import { askAt, closingAfter, doubtOf } from "./hands-model";
import type { JobView } from "./job-model";
import type { Frame } from "./layout";
import { handsPath } from "./paths";
import { type Clock, timeOfDay, whenInWords } from "./words";

/** How long it is since, kept up to date by the page. */
export function Since({ at, clock }: { at: string; clock: Clock }) {
  const { key, values } = spanSince(at, clock.now.getTime());
  return (
    <time datetime={at} data-since={at}>
      {say(`span.${key}`, values)}
    </time>
  );
}

/** On every page: on which bikes this person has hands, and for how long; or whether it is still so. */
export function HandsLine({ frame, oob }: { frame: Frame; oob?: boolean }) {
  const { hands, hours, truth } = frame;
  const next = Math.min(...hands.map((each) => askAt(each, truth.clock, hours)));
  const later = Number.isFinite(next) && next > truth.clock.now.getTime();
  return (
    <div
      id="hands-line"
      aria-live="polite"
      data-quiet
      hx-get="/bench/hands"
      hx-trigger="bench:hands from:body"
      hx-swap="outerMorph"
      hx-sync="this:replace"
      {...(later ? { "data-ask-at": String(next) } : {})}
      {...(oob ? { "hx-swap-oob": "outerMorph" } : {})}
    >
      {hands.map((each) =>
        doubtOf(each, truth.clock, hours) ? (
          <Question hands={each} frame={frame} />
        ) : (
          <Running hands={each} clock={truth.clock} />
        ),
      )}
    </div>
  );
}

function Running({ hands, clock }: { hands: RunningHands; clock: Clock }) {
  return (
    <a class="running" href={handsPath(hands.job)} aria-live="off">
      <Glyph name="hands" />
      <span class="hidden-text">{say("hands.on")} </span>
      {hands.number} <Since at={hands.at} clock={clock} />
    </a>
  );
}

function whyInWords(hands: RunningHands, { truth, hours }: Frame): string {
  const doubt = doubtOf(hands, truth.clock, hours);
  const closing = doubt && closingAfter(doubt.from, hours, truth.clock.timezone);
  if (doubt?.why === "closed" && closing)
    return say("hands.why-closed", {
      time: timeOfDay(new Date(closing).toISOString(), truth.clock),
    });
  return say("hands.why-gap", { when: whenInWords(doubt?.from ?? hands.last, truth.clock) });
}

function Question({ hands, frame }: { hands: RunningHands; frame: Frame }) {
  const { clock } = frame.truth;
  return (
    <form
      {...formAttributes(handsPath(hands.job), `hands-${hands.id}`)}
      hx-target="#hands-line"
      class="notice hands-question"
    >
      <p class="strong">
        {say("hands.question", { number: hands.number, when: whenInWords(hands.at, clock) })}
      </p>
      <p>{whyInWords(hands, frame)}</p>
      <Hidden values={{ hands: hands.id }} />
      <div class="stack tight">
        <button type="submit" name="still" value="1" class="button large full">
          {say("hands.still")}
        </button>
        <Ends hands={hands} frame={frame} />
        <a class="button large full" href={handsPath(hands.job)}>
          {say("hands.other-time")}
        </a>
      </div>
    </form>
  );
}

/** The ends that are likely: the last entry, and the time the shop closed. */
export function Ends({ hands, frame }: { hands: RunningHands; frame: Frame }) {
  const { clock } = frame.truth;
  const from = doubtOf(hands, clock, frame.hours)?.from ?? hands.last;
  const closing = closingAfter(from, frame.hours, clock.timezone);
  const closed = closing !== null && closing <= clock.now.getTime();
  return (
    <>
      {Date.parse(from) > Date.parse(hands.at) ? (
        <button type="submit" name="until" value={from} class="button large full">
          {say("hands.stopped-entry", { time: timeOfDay(from, clock) })}
        </button>
      ) : null}
      {closed ? (
        <button
          type="submit"
          name="until"
          value={new Date(closing).toISOString()}
          class="button large full"
        >
          {say("hands.stopped-closing", {
            time: timeOfDay(new Date(closing).toISOString(), clock),
          })}
        </button>
      ) : null}
    </>
  );
}

export function HandsButton({ job, me }: { job: JobView; me: string }) {
  const mine = job.state.hands.find((each) => each.by === me);
  const values: Record<string, string> = mine ? { hands: mine.id, off: "1" } : { on: "1" };
  return (
    <button
      id="hands"
      type="button"
      class="sticky-button"
      aria-pressed={mine ? "true" : "false"}
      {...actionAttributes(handsPath(job.header.id), "#hands", values)}
    >
      <Glyph name="hands" />
      {mine ? say("action.hands-off") : say("action.hands-on")}
    </button>
  );
}
