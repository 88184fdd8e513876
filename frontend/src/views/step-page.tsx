/* One step in full: why it is here, how it is done, what never to do, what it asks, and what was written about it. */
import type { Catalogue } from "../trade/catalogue";
import { say, word } from "../words/bench";
import { Bar } from "./bar";
import { Cautions } from "./cautions";
import { AddedMark, SafetyMark } from "./chip";
import { ConflictNotice } from "./conflict";
import { formAttributes, Hidden } from "./forms";
import { Glyph } from "./glyph";
import { HistoryList } from "./history";
import { type JobView, nextAsk, type StepView } from "./job-model";
import type { Kept } from "./kept-line";
import { type Frame, Layout } from "./layout";
import { jobPath, stepAnchor, stepPath } from "./paths";
import { PhotoStrip, type StripProps } from "./photos";
import { How, Why } from "./step-about";
import { StepAsks } from "./step-asks";
import { CheckForm } from "./step-check";
import { AgainNotice, askHref, Tick, tickAttributes } from "./step-row";
import { sentence, whenInWords } from "./words";

type PageProps = {
  frame: Frame;
  job: JobView;
  view: StepView;
  me: string;
  strip: StripProps;
  catalogue: Catalogue | undefined;
  kept?: Kept | undefined;
};

export function StepPage({ frame, job, view, me, strip, catalogue, kept }: PageProps) {
  const id = job.header.id;
  const clock = frame.truth.clock;
  return (
    <Layout
      frame={frame}
      title={view.step.title}
      back={{ href: stepAnchor(id, view.step.key), word: job.header.number }}
      job={id}
      refresh={stepPath(id, view.step.key)}
      foot={<StepFoot job={job} view={view} me={me} />}
      kept={kept}
    >
      <StepHead job={job} view={view} />
      {view.conflicts.map((place) => (
        <ConflictNotice
          job={job}
          view={view}
          place={place}
          level="h2"
          clockTime={(iso) => whenInWords(iso, clock)}
        />
      ))}
      <Cautions view={view} />
      <How view={view} />
      <StepAsks job={job} view={view} whole />
      {view.step.kind === "check" ? <CheckForm job={job} view={view} me={me} /> : null}
      <PhotoStrip {...strip} />
      <Why job={job} view={view} catalogue={catalogue} />
      <NotNeeded job={job} view={view} />
      <HistoryList job={job} clock={clock} me={me} step={view.step.key} />
    </Layout>
  );
}

export function StepHead({ job, view, oob }: { job: JobView; view: StepView; oob?: boolean }) {
  const { step } = view;
  return (
    <header
      id={`step-${step.key}`}
      class="step-head"
      {...(oob ? { "hx-swap-oob": "outerMorph" } : {})}
    >
      <Tick job={job} view={view} />
      <div>
        <h1>{step.title}</h1>
        <p class="step-about">
          <span>{word("stage", step.stage)}</span>
          <span>{say("step.minutes", { low: step.minutes.low, high: step.minutes.high })}</span>
          {step.safety ? <SafetyMark /> : null}
          {view.added ? <AddedMark /> : null}
        </p>
      </div>
      <AgainNotice view={view} level="h2" />
      {view.aheadOf.length > 0 ? (
        <div class="notice head-notice">
          <h2>{say("step.ahead")}</h2>
          {view.aheadOf.map(({ title, because }) => (
            <p>{sentence(say("step.comes-first", { step: title, because }))}</p>
          ))}
        </div>
      ) : null}
    </header>
  );
}

type ActProps = { job: JobView; view: StepView; oob?: boolean };

/** The next thing to do, where the thumb is: tick, answer, check, or go on. */
export function StepAct({ job, view, oob }: ActProps) {
  const { step } = view;
  const more = { id: "act", ...(oob ? { "hx-swap-oob": "outerMorph" } : {}) };
  const missing = nextAsk(view);
  if (view.done || step.kind === "release") return <GoOn job={job} more={more} />;
  if (step.kind === "check" || missing) {
    const href = missing ? askHref(job, view, missing) : "#check";
    return (
      <a class="button primary large" href={href} {...more}>
        {missing ? say("step.answer", { ask: missing.ask.label }) : say("step.second-check")}
      </a>
    );
  }
  return (
    <button type="button" class="button primary large" {...more} {...tickAttributes(job, view)}>
      <Glyph name="tick" />
      {say("step.tick")}
    </button>
  );
}

function GoOn({ job, more }: { job: JobView; more: Record<string, string> }) {
  const { next } = job;
  return (
    <a
      class="button primary large"
      href={next ? stepPath(job.header.id, next.step.key) : jobPath(job.header.id)}
      {...more}
    >
      {next ? say("step.go-on", { step: next.step.title }) : say("job.all-done")}
      <Glyph name="next" />
    </a>
  );
}

function StepFoot({ job, view, me }: { job: JobView; view: StepView; me: string }) {
  return (
    <div class="sticky">
      <div class="step-act">
        <a class="button" href={stepAnchor(job.header.id, view.step.key)}>
          <Glyph name="back" />
          {say("action.steps")}
        </a>
        <StepAct job={job} view={view} />
      </div>
      <Bar job={job} me={me} view={view} />
    </div>
  );
}

function NotNeeded({ job, view }: { job: JobView; view: StepView }) {
  const { step } = view;
  if (step.kind !== "work" || step.safety || view.done) return null;
  return (
    <details>
      <summary>{say("step.leave-out")}</summary>
      <form
        {...formAttributes(`${stepPath(job.header.id, step.key)}/not-needed`, "not-needed")}
        class="stack tight"
      >
        <Hidden values={{ seen: view.tickHeads.map((head) => head.id).join(",") }} />
        <div class="field">
          <label for="not-needed-reason">{say("step.leave-out-why")}</label>
          <input id="not-needed-reason" name="reason" maxlength={300} />
        </div>
        <button type="submit" class="button">
          {say("step.leave-out-do")}
        </button>
      </form>
    </details>
  );
}
