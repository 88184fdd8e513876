/* One step: its page, its tick, leaving it out, the second check, settling a conflict. */

import { seenOn } from "../journal/again";
import type { Entry } from "../journal/entry";
import { doersOf, fullRoute, safetyEntries } from "../journal/progress";
import type { Head } from "../journal/state";
import { findCatalogue } from "../store/meta";
import type { OpenedJob } from "../store/opened";
import { withOneMore } from "../store/tally";
import { BarCamera } from "../views/bar";
import { describeJob, findStep, type JobView, nameOf, type StepView } from "../views/job-model";
import { NextLine, StageHeading } from "../views/job-page";
import { KeptChange, TakenBack } from "../views/kept-line";
import { stepAnchor, stepPath } from "../views/paths";
import { CheckForm } from "../views/step-check";
import { StepAct, StepHead, StepPage } from "../views/step-page";
import { StepRow } from "../views/step-row";
import { type Truth, TruthLine } from "../views/truth";
import { whenInWords } from "../views/words";
import { say } from "../words/bench";
import type { BenchContext } from "./deps";
import { type OnJob, type OnStep, onJob, onStep, onStepSeen, reloaded } from "./handlers";
import { justKept, loadTruth, withUnsent } from "./load";
import { formOf, record, seenIds, textOf } from "./record";
import { goTo, sayPlainly, showFormAgain, showFragment, showPage } from "./respond";
import type { Router } from "./router";
import { photosOf, stripOf } from "./strip";

const OUTCOMES = new Set(["done", "open"]);

export function stepRoutes(app: Router): void {
  app.get("/bench/jobs/:job/steps/:step", onStep(stepPage));
  app.post("/bench/jobs/:job/steps/:step/tick", onStepSeen(tick));
  app.post("/bench/jobs/:job/steps/:step/not-needed", onStep(leaveOut));
  app.post("/bench/jobs/:job/steps/:step/check", onStep(check));
  app.post("/bench/jobs/:job/settle", onJob(settle));
}

async function stepPage(c: BenchContext, on: OnStep): Promise<Response> {
  const [strip, catalogue, job] = await Promise.all([
    stripOf(c, on.job, photosOf(on.job, on.view.step.key)),
    findCatalogue(),
    withUnsent(on.job),
  ]);
  const kept = justKept(c, on.job, on.me);
  return showPage(<StepPage {...on} job={job} strip={strip} catalogue={catalogue} kept={kept} />);
}

async function tick(c: BenchContext, on: OnStep): Promise<Response> {
  const form = await formOf(c);
  const outcome = textOf(form, "outcome");
  if (!OUTCOMES.has(outcome)) return sayPlainly(say("tick.bad"), 400);
  if (on.view.step.kind !== "work") return sayPlainly(say("tick.not-by-hand"), 409);
  const { key } = on.view.step;
  const body = { step: key, outcome, ...seenOn(key, on.job.state) };
  const supersedes = seenIds(textOf(form, "seen"));
  const action = { job: on.job.header.id, kind: "tick", body, supersedes };
  let answer: Promise<Response> | undefined;
  const entry = await record(c, action, 0, (fresh, after) => {
    answer = showTick(c, on, fresh, after);
  });
  return answer ?? changedStep(c, on, key, entry);
}

/** Drawn while it is written, shown when it is kept. */
async function showTick(
  c: BenchContext,
  { frame, job: before, view }: OnStep,
  entry: Entry,
  after: OpenedJob,
): Promise<Response> {
  const job = describeJob(after, before.people);
  const truth = { ...frame.truth, kept: withOneMore(frame.truth.kept, entry) };
  return showChange(c, { before, job, key: view.step.key, entry, truth });
}

export async function changedStep(
  c: BenchContext,
  on: OnJob,
  key: string,
  entry?: Entry,
): Promise<Response> {
  const [job, truth] = [await reloaded(on), await loadTruth(c)];
  return showChange(c, { before: on.job, job, key, entry, truth });
}

type Change = {
  before: JobView;
  job: JobView;
  key: string;
  entry: Entry | undefined;
  truth: Truth;
};

/** The changed row, and whatever else on the page says something different now. */
async function showChange(
  c: BenchContext,
  { before, job, key, entry, truth }: Change,
): Promise<Response> {
  const view = job.steps.find((each) => each.step.key === key);
  if (!view) return goTo(c, stepAnchor(job.header.id, key));
  const onStepPage = c.req.header("HX-Target")?.startsWith("header");
  const clockTime = (iso: string) => whenInWords(iso, truth.clock);
  return showFragment(
    <>
      {onStepPage ? (
        <StepHead job={job} view={view} />
      ) : (
        <StepRow job={job} view={view} clockTime={clockTime} />
      )}
      {onStepPage ? (
        <StepAct job={job} view={view} oob />
      ) : (
        <Surroundings before={before} job={job} view={view} clockTime={clockTime} />
      )}
      {entry ? <KeptChange job={job} entry={entry} at={`#step-${key}`} /> : <TakenBack />}
      <TruthLine truth={truth} oob />
    </>,
  );
}

type SurroundingsProps = {
  before: JobView;
  job: JobView;
  view: StepView;
  clockTime: (iso: string) => string;
};

function Surroundings({ before, job, view, clockTime }: SurroundingsProps) {
  const stages = job.stages.filter(
    ({ stage, done }, nth) => stage === view.step.stage || done !== before.stages[nth]?.done,
  );
  return (
    <>
      {changedRows(before, job, view).map((row) => (
        <StepRow job={job} view={row} clockTime={clockTime} oob />
      ))}
      {stages.map((stage) => (
        <StageHeading stage={stage} oob />
      ))}
      <NextLine job={job} oob />
      {before.next?.step.stage === job.next?.step.stage ? null : <BarCamera job={job} oob />}
    </>
  );
}

/** The rows beside this one that say something else than before: the fewer are drawn, the sooner the tick shows. */
function changedRows(before: JobView, job: JobView, { step }: StepView): StepView[] {
  const drawn = (of: JobView, view: StepView | undefined) =>
    view && String(<StepRow job={of} view={view} clockTime={(iso) => iso} />);
  const opened = (step.reopens ?? []).map(({ key }) => key);
  const touched = new Set([before.next?.step.key, job.next?.step.key, ...opened]);
  return job.steps.filter(
    (view) =>
      view.step.key !== step.key &&
      (touched.has(view.step.key) || view.step.after.some(({ key }) => key === step.key)) &&
      drawn(before, findStep(before, view.step.key)) !== drawn(job, view),
  );
}

async function leaveOut(c: BenchContext, on: OnStep): Promise<Response> {
  const form = await formOf(c);
  if (on.view.step.safety) return sayPlainly(say("tick.safety"), 409);
  const reason = textOf(form, "reason");
  const entry = await record(c, {
    job: on.job.header.id,
    kind: "tick",
    body: {
      step: on.view.step.key,
      outcome: "not-needed",
      ...(reason && { reason }),
      ...seenOn(on.view.step.key, on.job.state),
    },
    supersedes: seenIds(textOf(form, "seen")),
  });
  return goTo(c, stepAnchor(on.job.header.id, on.view.step.key, entry.id));
}

async function check(c: BenchContext, on: OnStep): Promise<Response> {
  const { job, view, me } = on;
  const form = await formOf(c);
  const outcome = textOf(form, "outcome");
  const text = textOf(form, "text");
  const error = checkError(on, outcome, text);
  if (error)
    return showFormAgain(<CheckForm job={job} view={view} me={me} text={text} error={error} />);
  const entry = await record(c, {
    job: job.header.id,
    kind: "check",
    body: {
      step: view.step.key,
      outcome,
      seen: safetyEntries(fullRoute(job.header.route, job.state), job.state),
      ...(text && { text }),
    },
    supersedes: seenIds(textOf(form, "seen")),
  });
  return goTo(c, stepAnchor(job.header.id, view.step.key, entry.id));
}

function checkError({ job, view, me }: OnStep, outcome: string, text: string): string | undefined {
  if (view.step.kind !== "check") return say("check.not-here");
  if (doersOf(view.step, job.state).has(me)) {
    return say("check.doer", { name: nameOf(job, me) });
  }
  if (outcome !== "agreed" && outcome !== "not-agreed") return say("check.say-whether");
  if (outcome === "not-agreed" && text === "") return say("check.say-what");
  return undefined;
}

/** Whoever looks takes one of the entries: a new entry that says the same and replaces them all. */
async function settle(c: BenchContext, on: OnJob): Promise<Response> {
  const form = await formOf(c);
  const take = textOf(form, "take");
  const seen = seenIds(textOf(form, "seen"));
  const head = headOf(on.job, take);
  if (!head || !seen.includes(head.id)) {
    return sayPlainly(say("conflict.changed"), 409);
  }
  const job = on.job.header.id;
  const entry = await record(c, { job, kind: head.kind, body: head.body, supersedes: seen });
  if (c.req.header("HX-Target")?.startsWith("header"))
    return goTo(c, `${stepPath(job, textOf(form, "step"))}?kept=${entry.id}`);
  return changedStep(c, on, textOf(form, "step"), entry);
}

function headOf(job: JobView, id: string): Head | undefined {
  return Object.values(job.state.places)
    .flat()
    .find((head) => head.id === id);
}
