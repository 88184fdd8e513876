/* One step in full: why it is here, how it is done, what never to do, what it asks, and what was written about it. */
import { doersOf } from "../journal/progress";
import { say, word } from "../words/bench";
import { Cautions } from "./cautions";
import { AddedMark, SafetyMark } from "./chip";
import { ConflictNotice } from "./conflict";
import { formAttributes, Hidden } from "./forms";
import { Glyph } from "./glyph";
import { HistoryList } from "./history";
import { type JobView, nameOf, type StepView } from "./job-model";
import type { Kept } from "./kept-line";
import { type Frame, Layout } from "./layout";
import { jobPath, photoPagePath, stepAnchor, stepPath } from "./paths";
import { StepAsks } from "./step-asks";
import { Tick } from "./step-row";
import { fromInWords, sentence, whenInWords } from "./words";

type PageProps = {
  frame: Frame;
  job: JobView;
  view: StepView;
  me: string;
  kept?: Kept | undefined;
};

export function StepPage({ frame, job, view, me, kept }: PageProps) {
  const id = job.header.id;
  const clock = frame.truth.clock;
  return (
    <Layout
      frame={frame}
      title={view.step.title}
      back={{ href: stepAnchor(id, view.step.key), word: job.header.number }}
      job={id}
      refresh={stepPath(id, view.step.key)}
      foot={<StepFoot job={job} view={view} />}
      kept={kept}
    >
      <StepHead job={job} view={view} />
      {view.conflicts.map((place) => (
        <ConflictNotice
          job={job}
          view={view}
          place={place}
          clockTime={(iso) => whenInWords(iso, clock)}
        />
      ))}
      <Cautions view={view} />
      <How view={view} />
      <StepAsks job={job} view={view} whole />
      {view.step.kind === "check" ? <CheckForm job={job} view={view} me={me} /> : null}
      <Why job={job} view={view} />
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
      {view.aheadOf.length > 0 ? (
        <div class="notice head-notice">
          <h3>{say("step.ahead")}</h3>
          {view.aheadOf.map(({ title, because }) => (
            <p>{sentence(say("step.comes-first", { step: title, because }))}</p>
          ))}
        </div>
      ) : null}
    </header>
  );
}

function How({ view }: { view: StepView }) {
  const { step } = view;
  const points = step.points ?? [];
  return (
    <section class="stack tight">
      {step.how ? <p>{step.how}</p> : null}
      {points.length > 0 ? (
        <ul>
          {points.map((point) => (
            <li>{point}</li>
          ))}
        </ul>
      ) : null}
      {step.compound ? (
        <div class="panel stack tight">
          <p class="strong">
            <Glyph name="compound" /> {step.compound.title}
          </p>
          {step.compound.never ? <p>{sentence(step.compound.never)}</p> : null}
        </div>
      ) : null}
      {step.bath ? <p class="panel">{sentence(step.bath)}</p> : null}
    </section>
  );
}

/** Why it is done, and why here: read once, so it stands below what is needed each time. */
function Why({ job, view }: { job: JobView; view: StepView }) {
  const { step } = view;
  const after = step.after.flatMap(({ key, because }) => {
    const earlier = job.steps.find((each) => each.step.key === key);
    return earlier ? [{ title: earlier.step.title, because }] : [];
  });
  return (
    <section class="stack tight">
      {step.why ? <p class="soft">{sentence(step.why)}</p> : null}
      {after.map(({ title, because }) => (
        <p class="soft">{sentence(say("step.because", { step: title, because }))}</p>
      ))}
      {step.source ? (
        <p class="soft small">{sentence(fromInWords(step.source, step.source_kind))}</p>
      ) : null}
    </section>
  );
}

/** Somebody else looks. Who did the work is told why not, in words. */
export function CheckForm({ job, view, me, text, error }: PageCheck) {
  const { step } = view;
  const doers = doersOf(step, job.state);
  const settled = view.conflicts.length === 0 ? view.checkHeads[0] : undefined;
  return (
    <form
      {...formAttributes(`${stepPath(job.header.id, step.key)}/check`, "check")}
      class="panel stack tight"
    >
      <h2>{say("step.second-check")}</h2>
      {settled ? (
        <p class="strong">
          {say(settled.body.outcome === "agreed" ? "step.agreed" : "step.not-agreed", {
            name: nameOf(job, settled.by),
          })}
          {settled.body.text ? ` – ${String(settled.body.text)}` : ""}
        </p>
      ) : null}
      {doers.has(me) ? (
        <p class="error">{say("step.doer-checks", { name: nameOf(job, me) })}</p>
      ) : (
        <CheckFields view={view} text={text ?? ""} error={error} />
      )}
    </form>
  );
}

type PageCheck = { job: JobView; view: StepView; me: string; text?: string; error?: string };

function CheckFields({
  view,
  text,
  error,
}: {
  view: StepView;
  text: string;
  error: string | undefined;
}) {
  return (
    <>
      <Hidden values={{ seen: view.checkHeads.map((head) => head.id).join(",") }} />
      {error ? <p class="error">{error}</p> : null}
      <div class="field">
        <label for="check-text">{say("step.not-right")}</label>
        <textarea id="check-text" name="text" rows={2} maxlength={2000}>
          {text}
        </textarea>
      </div>
      <div class="button-row">
        <button type="submit" name="outcome" value="agreed" class="button primary large">
          {say("step.agree")}
        </button>
        <button type="submit" name="outcome" value="not-agreed" class="button large">
          {say("step.disagree")}
        </button>
      </div>
    </>
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

function StepFoot({ job, view }: { job: JobView; view: StepView }) {
  const id = job.header.id;
  const query = `?step=${encodeURIComponent(view.step.key)}`;
  return (
    <div class="sticky">
      <div class="sticky-row">
        <a class="sticky-button" href={photoPagePath(id, view.step.key)}>
          <Glyph name="camera" />
          {say("action.photo")}
        </a>
        <a class="sticky-button" href={`${jobPath(id)}/finding${query}`}>
          <Glyph name="finding" />
          {say("action.finding")}
        </a>
        <a class="sticky-button" href={`${jobPath(id)}/note${query}`}>
          <Glyph name="note" />
          {say("action.note")}
        </a>
        <a class="sticky-button" href={stepAnchor(id, view.step.key)}>
          <Glyph name="back" />
          {say("action.steps")}
        </a>
      </div>
    </div>
  );
}
