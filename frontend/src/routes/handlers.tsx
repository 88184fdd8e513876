/* The way into every page of a job: frame and job loaded, or a page that says what is missing. */
import type { Child } from "../html/jsx-runtime";
import { findJob, findJobAgain } from "../store/jobs";
import {
  type AskView,
  describeJob,
  findAsk,
  findStep,
  type JobView,
  type StepView,
} from "../views/job-model";
import type { Frame } from "../views/layout";
import { MissingPage } from "../views/missing";
import { say } from "../words/bench";
import type { BenchContext } from "./deps";
import { loadFrame } from "./load";
import { sayPlainly, showMissingPage } from "./respond";

export type OnJob = { frame: Frame; job: JobView; me: string };
export type OnStep = OnJob & { view: StepView };
export type OnAsk = OnStep & { ask: AskView };

function param(c: BenchContext, name: string): string {
  return c.req.param(name) ?? "";
}

async function missing(c: BenchContext, frame: Frame, what: string): Promise<Response> {
  if (c.req.header("HX-Request")) return sayPlainly(what, 410);
  return showMissingPage((<MissingPage frame={frame} what={what} path={c.req.path} />) as Child);
}

/** Runs the handler with the job of the address. */
export function onJob(handle: (c: BenchContext, on: OnJob) => Promise<Response>) {
  return async (c: BenchContext): Promise<Response> => {
    const [frame, opened] = await Promise.all([loadFrame(c), findJob(param(c, "job"))]);
    if (!opened) return missing(c, frame, say("missing.job"));
    const job = describeJob(opened, frame.workshop?.people ?? []);
    return handle(c, { frame, job, me: frame.me });
  };
}

export function onStep(handle: (c: BenchContext, on: OnStep) => Promise<Response>) {
  return onJob(async (c, on) => {
    const view = findStep(on.job, param(c, "step"));
    return view ? handle(c, { ...on, view }) : missing(c, on.frame, say("missing.step"));
  });
}

/** The phase comes with the address or with the form; the first of the ask is the default. */
export function onAsk(handle: (c: BenchContext, on: OnAsk) => Promise<Response>) {
  return onStep(async (c, on) => {
    const item = param(c, "item");
    const ask =
      findAsk(on.view, item, c.req.query("phase") ?? "") ??
      on.view.asks.find((each) => each.ask.item === item);
    return ask ? handle(c, { ...on, ask }) : missing(c, on.frame, say("missing.step"));
  });
}

/** The job again, after an entry was written to it. */
export async function reloaded(on: OnJob): Promise<JobView> {
  const opened = await findJobAgain(on.job.header.id);
  return opened ? describeJob(opened, on.job.people) : on.job;
}
