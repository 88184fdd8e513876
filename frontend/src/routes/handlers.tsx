/* The way into every page of a job: frame and job loaded, or a page that says what is missing. */
import type { Child } from "../html/jsx-runtime";
import { SeenChanged } from "../store/append";
import { findJob, recallJob } from "../store/jobs";
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
import { loadFrame, recallFrame } from "./load";
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

/**
 * Like onJob, for an action that is waited for and writes at most one entry: it is tried with what this worker saw
 * last. Writing checks that against the database; if something changed, or nothing was written, it runs anew.
 */
function onJobSeen(handle: (c: BenchContext, on: OnJob) => Promise<Response>) {
  const anew = onJob(handle);
  return async (c: BenchContext): Promise<Response> => {
    const seen = await recallJob(param(c, "job"));
    const frame = seen && (await recallFrame(c));
    if (!seen || !frame) return anew(c);
    c.var.seen = seen;
    try {
      const job = describeJob(seen.job, frame.workshop?.people ?? []);
      const response = await handle(c, { frame, job, me: frame.me });
      if (c.var.written) return response;
    } catch (error) {
      if (!(error instanceof SeenChanged)) throw error;
    }
    delete c.var.seen;
    return anew(c);
  };
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

type StepHandler = (c: BenchContext, on: OnStep) => Promise<Response>;

export function onStep(handle: StepHandler) {
  return onJob(withStep(handle));
}

export function onStepSeen(handle: StepHandler) {
  return onJobSeen(withStep(handle));
}

function withStep(handle: StepHandler) {
  return async (c: BenchContext, on: OnJob): Promise<Response> => {
    const view = findStep(on.job, param(c, "step"));
    return view ? handle(c, { ...on, view }) : missing(c, on.frame, say("missing.step"));
  };
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
  const { id } = on.job.header;
  const opened = (await recallJob(id))?.job ?? (await findJob(id));
  return opened ? describeJob(opened, on.job.people) : on.job;
}
