/* One step as a row of the job: its tick, what it asks, what went ahead of it, and where two entries disagree. */
import { say } from "../words/bench";
import { CareInRow, hasCare } from "./cautions";
import { AddedMark, CompoundChip, SafetyMark } from "./chip";
import { ConflictNotice } from "./conflict";
import { actionAttributes } from "./forms";
import { Glyph } from "./glyph";
import type { AskView, JobView, StepView } from "./job-model";
import { nextAsk } from "./job-model";
import { askPhasePath, photoPagePath, stepPath } from "./paths";
import { StepAsks } from "./step-asks";
import { sentence } from "./words";

type RowProps = { job: JobView; view: StepView; clockTime: (iso: string) => string; oob?: boolean };

function rowClass({ done, next, conflicts }: StepView): string {
  return ["step", next && "next", done && "done", conflicts.length > 0 && "conflict"]
    .filter(Boolean)
    .join(" ");
}

export function StepRow({ job, view, clockTime, oob }: RowProps) {
  const { step } = view;
  const href = stepPath(job.header.id, step.key);
  return (
    <li
      id={`step-${step.key}`}
      class={rowClass(view)}
      {...(oob ? { "hx-swap-oob": "outerMorph" } : {})}
    >
      <Tick job={job} view={view} />
      <div class="step-text">
        <a class="step-title" href={href}>
          {step.title}
        </a>
        <About view={view} />
      </div>
      <More job={job} view={view} clockTime={clockTime} />
    </li>
  );
}

/** Ticked by hand, answered by its asks, or done by somebody else: the same square, a different way in. */
export function Tick({ job, view }: { job: JobView; view: StepView }) {
  const { step } = view;
  if (step.kind === "release") return <TickSign view={view} words={say("step.at-desk")} />;
  if (step.kind === "check") {
    const href = stepPath(job.header.id, step.key);
    return <TickLink view={view} href={href} words={say("step.second-check")} />;
  }
  if (view.byAsks && !view.notNeeded) return <TickByAsks job={job} view={view} />;
  return <TickButton job={job} view={view} />;
}

/** What a control needs to tick the step, or to open it again. */
export function tickAttributes(job: JobView, { step, done, tickHeads }: StepView) {
  const values = {
    outcome: done ? "open" : "done",
    seen: tickHeads.map((head) => head.id).join(","),
  };
  const action = `${stepPath(job.header.id, step.key)}/tick`;
  return actionAttributes(action, `#step-${step.key}`, values);
}

function TickButton({ job, view }: { job: JobView; view: StepView }) {
  return (
    <button
      type="button"
      class="tick"
      aria-pressed={view.done ? "true" : "false"}
      {...tickAttributes(job, view)}
    >
      <Glyph name="tick" />
      <span class="hidden-text">{view.step.title}</span>
    </button>
  );
}

function TickByAsks({ job, view }: { job: JobView; view: StepView }) {
  const missing = nextAsk(view);
  const href = missing ? askHref(job, view, missing) : stepPath(job.header.id, view.step.key);
  return (
    <TickLink
      view={view}
      href={href}
      words={missing ? say("step.answer", { ask: missing.ask.label }) : say("step.all-answered")}
    />
  );
}

function TickLink({ view, href, words }: { view: StepView; href: string; words: string }) {
  const key = view.done ? "step.tick-done" : "step.tick-open";
  return (
    <a class={view.done ? "tick tick-link is-done" : "tick tick-link"} href={href}>
      <Glyph name={view.done ? "tick" : view.step.kind === "check" ? "second-person" : "reading"} />
      <span class="hidden-text">{say(key, { step: view.step.title, more: words })}</span>
    </a>
  );
}

function TickSign({ view, words }: { view: StepView; words: string }) {
  return (
    <span class={view.done ? "tick tick-link is-done" : "tick tick-sign"}>
      {view.done ? <Glyph name="tick" /> : null}
      <span class="hidden-text">{words}</span>
    </span>
  );
}

function About({ view }: { view: StepView }) {
  const { step } = view;
  return (
    <div class="step-about">
      <span>
        {step.kind === "release"
          ? say("step.at-the-desk")
          : say("frame.minutes", { n: step.minutes.typical })}
      </span>
      {step.kind === "check" ? <span>{say("step.second-person")}</span> : null}
      {step.safety ? <SafetyMark /> : null}
      {step.compound ? <CompoundChip title={step.compound.title} /> : null}
      {view.added ? <AddedMark /> : null}
      {view.notNeeded ? <span class="strong">{say("step.not-needed")}</span> : null}
    </div>
  );
}

function More({ job, view, clockTime }: RowProps) {
  const care = view.next && hasCare(view);
  const notices = view.aheadOf.length + view.again.length + view.conflicts.length;
  if (view.asks.length + notices === 0 && !care) return null;
  return (
    <div class="step-more stack tight">
      {care ? <CareInRow view={view} /> : null}
      <AgainNotice view={view} level="h3" />
      {view.aheadOf.length > 0 ? <AheadNotice job={job} view={view} /> : null}
      {view.conflicts.map((place) => (
        <ConflictNotice job={job} view={view} place={place} clockTime={clockTime} level="h3" />
      ))}
      <StepAsks job={job} view={view} />
    </div>
  );
}

/** Done before, and to be done once more: after which work, and why. */
export function AgainNotice({ view, level: Heading }: { view: StepView; level: "h2" | "h3" }) {
  if (view.again.length === 0) return null;
  return (
    <div class={Heading === "h2" ? "notice head-notice" : "notice"}>
      <Heading>{say("step.again")}</Heading>
      {view.again.map(({ title, because }) => (
        <p>{sentence(say("step.because", { step: title, because }))}</p>
      ))}
    </div>
  );
}

function AheadNotice({ job, view }: { job: JobView; view: StepView }) {
  const { step } = view;
  const values = { outcome: "open", seen: view.tickHeads.map((head) => head.id).join(",") };
  const ticked = view.tickHeads.some((head) => head.body.outcome === "done");
  return (
    <div class="notice">
      <h3>{say("step.ahead")}</h3>
      {view.aheadOf.map(({ title, because }) => (
        <p>{sentence(say("step.comes-first", { step: title, because }))}</p>
      ))}
      {ticked ? (
        <button
          type="button"
          class="button"
          {...actionAttributes(
            `${stepPath(job.header.id, step.key)}/tick`,
            `#step-${step.key}`,
            values,
          )}
        >
          <Glyph name="undo" />
          {say("step.undo")}
        </button>
      ) : null}
    </div>
  );
}

export function askHref(job: JobView, view: StepView, ask: AskView): string {
  if (ask.ask.kind === "photo") return photoPagePath(job.header.id, view.step.key, ask.ask.item);
  return askPhasePath(job.header.id, view.step.key, ask.ask.item, ask.phase);
}
