/* The page of one ask: found and left side by side, the form that answers it, and what its limit rests on. */
import { rich, say, word } from "../words/bench";
import { AnswerLine } from "./ask-answer";
import { AskBox, PadMore } from "./ask-form";
import type { AskScreen } from "./ask-screen";
import { Cautions } from "./cautions";
import { Glyph } from "./glyph";
import { type AskView, type JobView, type StepView, valueIn } from "./job-model";
import { Layout } from "./layout";
import { askPhasePath, stepAnchor, torquePath } from "./paths";
import { said } from "./reading";
import { entryOf, type Fastener, fastenersOf, placeOf } from "./torque-run";
import { fromInWords, sentence } from "./words";

export function AskPage(screen: AskScreen) {
  const { frame, job, view, ask, run, kept } = screen;
  const id = job.header.id;
  const back = run
    ? { href: torquePath(id), word: say("torque.title") }
    : { href: stepAnchor(id, view.step.key), word: job.header.number };
  return (
    <Layout
      frame={frame}
      title={ask.ask.label}
      back={back}
      job={id}
      kept={kept}
      foot={run ? <RunBar job={job} view={view} item={ask.item} /> : undefined}
    >
      <div class="ask-screen">
        <header class="ask-head">
          <h1>{ask.ask.label}</h1>
          <Phases screen={screen} />
          <Compound view={view} />
        </header>
        {view.conflicts.includes(ask.place) ? (
          <p class="notice">
            {rich("ask.look", {
              look: (words) => <a href={stepAnchor(id, view.step.key)}>{words}</a>,
            })}
          </p>
        ) : null}
        <AskBox screen={screen} form={{ value: "", unit: screen.unit }} />
      </div>
      <PadMore screen={screen} />
      <AnswerLine screen={screen} />
      <Cautions view={view} />
      <About ask={ask} />
    </Layout>
  );
}

function Phases({ screen }: { screen: AskScreen }) {
  const { job, view, ask, run } = screen;
  const all = view.asks.filter((each) => each.item === ask.item);
  if (all.length < 2) return <p class="soft">{word("phase-title", ask.phase)}</p>;
  return (
    <nav class="phases" aria-label={say("ask.phases")}>
      {all.map((each) => (
        <a
          class="phase"
          href={askPhasePath(job.header.id, view.step.key, ask.item, each.phase, run)}
          {...(each.phase === ask.phase ? { "aria-current": "page" } : {})}
        >
          {word("phase-title", each.phase)}
          <PhaseValue job={job} ask={each} />
        </a>
      ))}
    </nav>
  );
}

export function PhaseValue({ job, ask, oob }: { job: JobView; ask: AskView; oob?: boolean }) {
  const value = valueIn(job, ask);
  return (
    <span id={`phase-${ask.phase}`} class="soft" {...(oob ? { "hx-swap-oob": "outerHTML" } : {})}>
      {value ? said(value, ask.ask) : say("ask.open")}
      {value && ask.verdict ? <span> {word("verdict", ask.verdict)}</span> : null}
    </span>
  );
}

/** What goes on the part, and where it must never go: before the wrench is turned. */
function Compound({ view: { step } }: { view: StepView }) {
  if (!step.compound) return null;
  return (
    <p class="compound">
      <Glyph name="compound" />
      <span>
        <strong>{sentence(step.compound.title)}</strong>{" "}
        {step.compound.never ? sentence(step.compound.never) : ""}
      </span>
    </p>
  );
}

type RunBarProps = { job: JobView; view: StepView; item: string };

/** Through the run by hand: one back, one on without an answer. */
function RunBar({ job, view, item }: RunBarProps) {
  const all = fastenersOf(job);
  const at = placeOf(all, view.step.key, item);
  const [before, after] = [all[at - 1], all[at + 1]];
  return (
    <nav class="sticky run-bar" aria-label={say("torque.title")}>
      {before ? <RunLink job={job} to={before} words={say("torque.back-one")} back /> : <span />}
      <span class="soft nowrap">{say("frame.done-of", { done: at + 1, total: all.length })}</span>
      {after ? <RunLink job={job} to={after} words={say("torque.skip")} /> : <span />}
    </nav>
  );
}

type RunLinkProps = { job: JobView; to: Fastener; words: string; back?: boolean };

function RunLink({ job, to, words, back }: RunLinkProps) {
  const entry = entryOf(to);
  if (!entry) return null;
  const { view, ask } = entry;
  return (
    <a
      class="button"
      href={askPhasePath(job.header.id, view.step.key, ask.item, ask.phase, "torque")}
    >
      {back ? <Glyph name="back" /> : null}
      <span>
        {words}
        <span class="hidden-text">{`: ${to.label}`}</span>
      </span>
      {back ? null : <Glyph name="next" />}
    </a>
  );
}

function About({ ask: { ask } }: { ask: AskView }) {
  const from = fromInWords(ask.source, ask.source_kind);
  return (
    <section class="stack tight soft small" aria-label={say("ask.about")}>
      {[ask.mark, ask.note].filter(Boolean).map((line) => (
        <p>{sentence(String(line))}</p>
      ))}
      {from ? <p>{sentence(say("ask.source", { source: from }))}</p> : null}
    </section>
  );
}
