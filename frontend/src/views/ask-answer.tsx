/* The answer to one ask: its value, what it means at once and why, and where to go next. */
import { say, word } from "../words/bench";
import { type AskScreen, limitsOf, marksOf } from "./ask-screen";
import { Band, bandInWords } from "./band";
import { Cautions } from "./cautions";
import { VerdictChip } from "./chip";
import { Glyph } from "./glyph";
import { type AskView, nameOf, valueIn } from "./job-model";
import { askPhasePath, jobPath } from "./paths";
import { said } from "./reading";
import { whenInWords } from "./words";

export type NextPlace = { href: string; word: string };

/** After saving: the verdict where the pad was, and the way on under the thumb. */
export function Answered({ screen, next }: { screen: AskScreen; next: NextPlace }) {
  const { job, view, ask, run } = screen;
  return (
    <div id="answer" class="stack tight">
      {ask.ask.kind === "choice" ? null : (
        <div class="band">
          <Band ask={limitsOf(screen)} marks={marksOf(view, ask)} />
          <p class="hint">{bandInWords(limitsOf(screen))}</p>
        </div>
      )}
      <Verdict screen={screen} />
      {ask.verdict === "unsafe" ? <Cautions view={view} /> : null}
      <a class="button primary large full" href={next.href}>
        {next.word}
        <Glyph name="next" />
      </a>
      <div class="button-row">
        {needsFinding(ask) ? <Findable screen={screen} /> : null}
        <a
          class="button"
          href={askPhasePath(job.header.id, view.step.key, ask.item, ask.phase, run)}
        >
          {say("ask.change")}
        </a>
      </div>
    </div>
  );
}

function Verdict({ screen }: { screen: AskScreen }) {
  const { ask, job } = screen;
  const value = valueIn(job, ask);
  if (!value) return <p class="panel">{say("ask.disputed")}</p>;
  return (
    <div class="panel stack tight">
      <p class="row">
        <span class="figure">{said(value, ask.ask)}</span>
        {ask.ask.kind === "choice" && ask.verdict === "" ? null : (
          <VerdictChip verdict={ask.verdict} />
        )}
      </p>
      {ask.why && ask.ask.kind !== "choice" ? <p>{ask.why}</p> : null}
      <WhoAndWhen screen={screen} fresh />
    </div>
  );
}

function WhoAndWhen({ screen, fresh }: { screen: AskScreen; fresh?: boolean }) {
  const { ask, job, frame } = screen;
  const value = valueIn(job, ask);
  if (!value) return null;
  const facts = {
    phase: word("phase-title", ask.phase),
    name: nameOf(job, value.by),
    when: whenInWords(value.at, frame.truth.clock),
  };
  return <p class="soft">{say(fresh ? "ask.kept-by" : "ask.written", facts)}</p>;
}

/** Below the pad: what is kept for it already. */
export function AnswerLine({ screen }: { screen: AskScreen }) {
  const { ask, job } = screen;
  const value = valueIn(job, ask);
  if (!value) return null;
  return (
    <div class="panel stack tight">
      <p class="row">
        <strong>{said(value, ask.ask)}</strong>
        {ask.verdict ? <VerdictChip verdict={ask.verdict} /> : null}
      </p>
      {ask.why && ask.ask.kind !== "choice" ? <p>{ask.why}</p> : null}
      <WhoAndWhen screen={screen} />
    </div>
  );
}

function needsFinding(ask: AskView): boolean {
  return ask.verdict === "renew" || ask.verdict === "unsafe";
}

function Findable({ screen }: { screen: AskScreen }) {
  const { job, view, ask } = screen;
  const query = new URLSearchParams({ step: view.step.key, item: ask.item });
  return (
    <a class="button" href={`${jobPath(job.header.id)}/finding?${query}`}>
      <Glyph name="finding" />
      {say("ask.report")}
    </a>
  );
}
