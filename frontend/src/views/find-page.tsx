/* Finding a step of a job, or a job of the list, by a few letters; with no letters, the stages as a table of contents. */
import type { Child } from "../html/jsx-runtime";
import type { ListedJob } from "../store/schema";
import { say, word } from "../words/bench";
import { Glyph } from "./glyph";
import type { JobView, StageView, StepView } from "./job-model";
import { type Frame, Layout } from "./layout";
import { findPath, jobPath, stepAnchor } from "./paths";
import { JobRow } from "./today";

type SearchProps = { action: string; label: string; query: string };

/** Answers while letters are typed; the key that sends opens the first of what was found. */
function Search({ action, label, query }: SearchProps) {
  return (
    <form method="get" action={action} role="search" class="field">
      <label for="q">{label}</label>
      <input
        id="q"
        name="q"
        type="search"
        value={query}
        autofocus
        autocomplete="off"
        autocapitalize="none"
        spellcheck={false}
        enterkeyhint="go"
        maxlength={80}
        data-quiet
        hx-get={action}
        hx-trigger="input changed delay:60ms"
        hx-target="#found"
        hx-swap="outerMorph"
        hx-sync="this:replace"
      />
      <input type="hidden" name="go" value="1" />
    </form>
  );
}

function Found({ n, query, children }: { n: number; query: string; children: Child }) {
  const words = n > 0 ? say("find.found", { n }) : say("find.none", { query });
  return (
    <section id="found" class="stack tight" aria-label={say("find.results")}>
      {query === "" ? null : <p role="status">{words}</p>}
      {n > 0 || query === "" ? children : null}
    </section>
  );
}

type StepsProps = { job: JobView; query: string; found: StepView[] };

export function FindStepPage({ frame, job, query, found }: StepsProps & { frame: Frame }) {
  const id = job.header.id;
  return (
    <Layout
      frame={frame}
      title={say("find.step")}
      back={{ href: jobPath(id), word: job.header.number }}
      job={id}
    >
      <h1>{say("find.step")}</h1>
      <Search action={findPath(id)} label={say("find.step-label")} query={query} />
      <FoundSteps job={job} query={query} found={found} />
    </Layout>
  );
}

export function FoundSteps({ job, query, found }: StepsProps) {
  return (
    <Found n={found.length} query={query}>
      <ul class="steps">
        {query === ""
          ? job.stages.map((stage) => <StageLink job={job} stage={stage} />)
          : found.map((view) => <StepLink job={job} view={view} />)}
      </ul>
    </Found>
  );
}

function StepLink({ job, view: { step, done } }: { job: JobView; view: StepView }) {
  return (
    <li>
      <a class="way" href={stepAnchor(job.header.id, step.key)}>
        <span class="way-sign">{done ? <Glyph name="tick" /> : null}</span>
        <span>
          <strong>{step.title}</strong>
          <span class="soft">
            {say(done ? "find.step-done" : "find.step-open", { stage: word("stage", step.stage) })}
          </span>
        </span>
      </a>
    </li>
  );
}

function StageLink({ job, stage }: { job: JobView; stage: StageView }) {
  return (
    <li>
      <a class="way" href={`${jobPath(job.header.id)}#stage-${stage.stage}`}>
        <span class="way-sign">{stage.done === stage.total ? <Glyph name="tick" /> : null}</span>
        <span>
          <strong>{word("stage", stage.stage)}</strong>
          <span class="soft">{say("frame.done-of", { done: stage.done, total: stage.total })}</span>
        </span>
      </a>
    </li>
  );
}

type JobsProps = { frame: Frame; query: string; found: ListedJob[] };

export function FindJobPage({ frame, query, found }: JobsProps) {
  return (
    <Layout
      frame={frame}
      title={say("find.job")}
      back={{ href: "/bench/", word: say("frame.jobs") }}
    >
      <h1>{say("find.job")}</h1>
      <Search action="/bench/find" label={say("find.job-label")} query={query} />
      <FoundJobs frame={frame} query={query} found={found} />
    </Layout>
  );
}

export function FoundJobs({ frame, query, found }: JobsProps) {
  return (
    <Found n={found.length} query={query}>
      <ul class="jobs">
        {found.map((job) => (
          <JobRow job={job} clock={frame.truth.clock} frame={frame} />
        ))}
      </ul>
    </Found>
  );
}
