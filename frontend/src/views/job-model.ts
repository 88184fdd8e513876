/* One job as the bench shows it: every step with its ticks, asks, conflicts and what it was done ahead of. Pure. */
import type { AskProgress } from "../journal/asks";
import type { Entry } from "../journal/entry";
import { checkPlace, isOfStep, tickPlace } from "../journal/places";
import { isAnswered, type Progress } from "../journal/progress";
import type { Ask, Step } from "../journal/route";
import type { Head, JobState } from "../journal/state";
import type { JobHeader, Person } from "../store/schema";
import { say } from "../words/bench";

/** One ask in one phase: what is asked, and what was answered. */
export type AskView = AskProgress & { ask: Ask };

export type StepView = {
  step: Step;
  /** It came with work that was agreed later. */
  added: boolean;
  done: boolean;
  notNeeded: boolean;
  next: boolean;
  tickHeads: Head[];
  checkHeads: Head[];
  /** Answered by its asks; there is nothing to tick. */
  byAsks: boolean;
  asks: AskView[];
  conflicts: string[];
  /** Begun although these are not done. */
  aheadOf: Array<{ title: string; because: string }>;
  /** Done before, and open again because of this work. */
  again: Array<{ title: string; because: string }>;
};

export type StageView = { stage: string; steps: StepView[]; done: number; total: number };

/** A job with all its entries and what they come to. */
export type JobSource = {
  header: JobHeader;
  entries: readonly Entry[];
  state: JobState;
  route: Step[];
  where: Progress;
};

export type JobView = Pick<JobSource, "header" | "entries" | "state"> & {
  /** Ids of what waits on this phone. */
  unsent: ReadonlySet<string>;
  steps: StepView[];
  stages: StageView[];
  next: StepView | undefined;
  done: number;
  total: number;
  people: Person[];
};

type Around = { state: JobState; route: Step[]; where: Progress; added: ReadonlySet<string> };

export function describeJob(
  source: JobSource,
  people: Person[],
  unsent: ReadonlySet<string> = new Set(),
): JobView {
  const { header, entries, state, route, where } = source;
  const added = new Set(state.added.flatMap((each) => each.steps.map((step) => step.key)));
  const steps = route.map((step) => describeStep(step, { state, route, where, added }));
  return {
    header,
    entries,
    state,
    unsent,
    steps,
    people,
    stages: groupByStage(steps),
    next: steps.find((each) => each.next),
    done: where.steps_done,
    total: where.steps_total,
  };
}

function describeStep(step: Step, around: Around): StepView {
  const { state, where } = around;
  const told = where.steps[step.key];
  const tickHeads = state.places[tickPlace(step.key)] ?? [];
  const asks = askViews(step, told?.asks ?? []);
  const done = told?.status === "done" || told?.status === "not-needed";
  const again = named(told?.again ?? [], around.route);
  return {
    step,
    added: around.added.has(step.key),
    done,
    notNeeded: told?.status === "not-needed",
    next: where.next_step === step.key,
    tickHeads,
    checkHeads: state.places[checkPlace(step.key)] ?? [],
    byAsks: isAnswered(
      asks.filter((each) => each.required),
      again.length > 0,
    ),
    asks,
    conflicts: state.conflicts.filter((place) => isOfStep(place, step.key)),
    aheadOf:
      isBegun(tickHeads, done) && again.length === 0 ? named(told?.early ?? [], around.route) : [],
    again,
  };
}

function isBegun(tickHeads: Head[], done: boolean): boolean {
  return done || tickHeads.some((head) => head.body.outcome === "done");
}

function named(
  reasons: readonly { key: string; because: string }[],
  route: Step[],
): StepView["aheadOf"] {
  return reasons.map(({ key, because }) => ({
    title: route.find((step) => step.key === key)?.title ?? key,
    because,
  }));
}

function askViews(step: Step, told: readonly AskProgress[]): AskView[] {
  return told.flatMap((answer) => {
    const ask = step.asks.find((each) => each.item === answer.item);
    return ask ? [{ ...answer, ask }] : [];
  });
}

function groupByStage(steps: StepView[]): StageView[] {
  const stages: StageView[] = [];
  for (const view of steps) {
    let stage = stages.find((each) => each.stage === view.step.stage);
    if (!stage) {
      stage = { stage: view.step.stage, steps: [], done: 0, total: 0 };
      stages.push(stage);
    }
    stage.steps.push(view);
    stage.total += 1;
    if (view.done) stage.done += 1;
  }
  return stages;
}

export function findStep(job: JobView, key: string): StepView | undefined {
  return job.steps.find((view) => view.step.key === key);
}

export function findAsk(view: StepView, item: string, phase: string): AskView | undefined {
  return view.asks.find((each) => each.item === item && each.phase === phase);
}

/** The value to show, unless there is none or two disagree. */
export function valueIn(job: JobView, ask: AskView): Head | undefined {
  return job.state.conflicts.includes(ask.place) ? undefined : ask.heads[0];
}

/** The ask to answer next within one step: the first required one that is open. */
export function nextAsk(view: StepView): AskView | undefined {
  return view.asks.find((each) => each.required && !each.settled);
}

export function nameOf(job: JobView, person: string): string {
  return job.people.find((each) => each.id === person)?.name ?? say("job.someone");
}
