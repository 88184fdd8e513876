/* The answer to one ask: its value, what it means at once and why, and where to go next. */

import { type AskScreen, limitsOf, marksOf, PHASE_WORDS } from "./ask-screen";
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
          Change it
        </a>
      </div>
    </div>
  );
}

function Verdict({ screen }: { screen: AskScreen }) {
  const { ask, job } = screen;
  const value = valueIn(job, ask);
  if (!value) return <p class="panel">Kept. Another entry disagrees with it: look at both.</p>;
  return (
    <div class="panel stack tight">
      <p class="row">
        <span class="figure">{said(value, ask.ask)}</span>
        {ask.ask.kind === "choice" && ask.verdict === "" ? null : (
          <VerdictChip verdict={ask.verdict} />
        )}
      </p>
      {ask.why && ask.ask.kind !== "choice" ? <p>{ask.why}</p> : null}
      <WhoAndWhen screen={screen} lead="Kept. " />
    </div>
  );
}

function WhoAndWhen({ screen, lead }: { screen: AskScreen; lead: string }) {
  const { ask, job, frame } = screen;
  const value = valueIn(job, ask);
  if (!value) return null;
  const when = whenInWords(value.at, frame.truth.clock);
  return (
    <p class="soft">{`${lead}${PHASE_WORDS[ask.phase]}, ${nameOf(job, value.by)}, ${when}`}</p>
  );
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
      <WhoAndWhen screen={screen} lead="" />
    </div>
  );
}

/** For those who listen: the verdict as one sentence. */
export function Said({ screen }: { screen: AskScreen }) {
  const { ask, job } = screen;
  const value = valueIn(job, ask);
  const why = ask.ask.kind === "choice" ? "" : ` ${ask.why}`;
  const words = value ? `${said(value, ask.ask)}: ${ask.verdict || "kept"}.${why}` : "Kept.";
  return (
    <p id="said" class="hidden-text" role="status" hx-swap-oob="innerHTML">
      {words}
    </p>
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
      Report it as a finding
    </a>
  );
}
