/* The page of one ask: found and left side by side, the form that answers it, and what its limit rests on. */
import type { Child } from "../html/jsx-runtime";
import { rich, say, word } from "../words/bench";
import { AskBox } from "./ask-form";
import type { AskScreen } from "./ask-screen";
import { type AskView, type JobView, valueIn } from "./job-model";
import { Layout } from "./layout";
import { askPhasePath, jobPath, stepAnchor } from "./paths";
import { said } from "./reading";
import { fromInWords, sentence } from "./words";

export function AskPage(screen: AskScreen) {
  const { frame, job, view, ask, run } = screen;
  const id = job.header.id;
  const back = run
    ? { href: `${jobPath(id)}/torque`, word: say("torque.title") }
    : { href: stepAnchor(id, view.step.key), word: job.header.number };
  return (
    <Layout frame={frame} title={ask.ask.label} back={back} job={id}>
      <header class="ask-head">
        <h1>{ask.ask.label}</h1>
        <Phases screen={screen} />
      </header>
      {view.conflicts.includes(ask.place) ? (
        <p class="notice">
          {rich("ask.look", {
            look: (words) => <a href={stepAnchor(id, view.step.key)}>{words}</a>,
          })}
        </p>
      ) : null}
      <AskBox
        screen={screen}
        form={{ value: "", unit: screen.unit, instrument: screen.instrument }}
      />
      <p id="said" class="hidden-text" role="status"></p>
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
    </span>
  );
}

function About({ ask: { ask } }: { ask: AskView }) {
  const lines: Child[] = [ask.mark, ask.note]
    .filter(Boolean)
    .map((line) => <p>{sentence(String(line))}</p>);
  const from = fromInWords(ask.source, ask.source_kind);
  return (
    <section class="stack tight soft small" aria-label={say("ask.about")}>
      {lines}
      {from ? <p>{sentence(say("ask.source", { source: from }))}</p> : null}
    </section>
  );
}
