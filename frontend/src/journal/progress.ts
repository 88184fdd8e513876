/**
 * How far is a job along its route, which step is next, and which verdicts still stand?
 * See also shopfloor/journal/progress.py: both are held together by
 * fixtures/cases/journal/progress.json.
 */
import { merge, type Reason } from "../trade/route";
import { isFresh, listReopeners, type Reopener, type Reopeners, undoing } from "./again";
import { type AskProgress, listAsks } from "./asks";
import { checkPlace, isOfAny, isOfStep, tickPlace } from "./places";
import type { Step } from "./route";
import { listStanding, type Standing } from "./standing";
import type { JobState } from "./state";
import type { JsonObject } from "./values";

export type Status = "open" | "done" | "not-needed" | "conflict";

/**
 * `early` names the steps that come first and are not done, whatever the status; `again` names the
 * added work after which a step that was done is to be done once more.
 */
type StepProgress = { status: Status; early: Reason[]; again: Reason[]; asks: AskProgress[] };

/** `steps` by key; `done` holds the keys of what is done or not needed, in working order. */
export type Progress = {
  steps: Record<string, StepProgress>;
  done: string[];
  steps_done: number;
  steps_total: number;
  minutes_left: number;
  minutes_total: number;
  stage: string | null;
  next_step: string | null;
  standing: Standing[];
};

type Statuses = ReadonlyMap<string, Status>;

/** The frozen route with the steps of added work where they belong. */
export function fullRoute(route: readonly Step[], state: JobState): Step[] {
  const added = state.added.flatMap((one) => one.steps);
  return added.length === 0 ? inWorkingOrder(route) : merge(route, added);
}

const ordered = new WeakMap<readonly Step[], Step[]>();

/** A route never changes: put in order once. */
function inWorkingOrder(route: readonly Step[]): Step[] {
  const steps = ordered.get(route) ?? merge(route, []);
  ordered.set(route, steps);
  return steps;
}

/**
 * How far the job is along a route that holds the added work already. Minutes are the typical ones;
 * a step that is not needed costs none of those left.
 */
export function progress(route: readonly Step[], state: JobState): Progress {
  const opened = listReopeners(state);
  const asks = new Map(
    route.map((step) => [step.key, listAsks(step, state, opened.get(step.key))]),
  );
  const look = { state, opened, lookedAt: safetyEntries(route, state) };
  const statuses = new Map(
    route.map((step) => [step.key, statusOf(step, asks.get(step.key) ?? [], look)]),
  );
  const done = [...statuses].filter(([, status]) => isSettled(status)).map(([key]) => key);
  const left = route.filter((step) => !isSettled(statuses.get(step.key)));
  const sooner = route.filter((step) => step.before !== undefined);
  const upcoming = left.find((step) => step.kind !== "release") ?? left[0];
  return {
    steps: Object.fromEntries(
      route.map((step) => [
        step.key,
        {
          status: statuses.get(step.key) ?? "open",
          early: earlyOf(step, sooner, statuses),
          again: againOf(step.key, asks.get(step.key) ?? [], statuses, look),
          asks: asks.get(step.key) ?? [],
        },
      ]),
    ),
    done,
    steps_done: done.length,
    steps_total: statuses.size,
    minutes_left: typicalMinutes(left),
    minutes_total: typicalMinutes(route),
    stage: upcoming?.stage ?? null,
    next_step: upcoming?.key ?? null,
    standing: listStanding(route, asks),
  };
}

/** Whether nothing is left to do on a step. */
export function isSettled(status: Status | undefined): boolean {
  return status === "done" || status === "not-needed";
}

/**
 * Who did the steps that a check step looks at, so may not be the one who checks them. By ticks,
 * readings and choices; taking a photo is not doing the work.
 */
export function doersOf(step: Step, state: JobState): Set<string> {
  const looked = new Set(step.checks);
  const heads = Object.entries(state.places)
    .filter(([place]) => !place.startsWith("check:"))
    .filter(([place]) => isOfAny(place, looked))
    .flatMap(([, found]) => found);
  return new Set(heads.map((head) => head.by));
}

/**
 * The ids of all standing entries on the route's safety work: what a second person looks at. The
 * check keeps them as `seen`; work that changes afterwards is not covered by it.
 */
export function safetyEntries(route: readonly Step[], state: JobState): string[] {
  const safety = route.filter((step) => step.kind === "work" && step.safety);
  const keys = new Set(safety.map((step) => step.key));
  return Object.entries(state.places)
    .filter(([place]) => isOfAny(place, keys))
    .flatMap(([, heads]) => heads.map((head) => head.id))
    .sort();
}

/** Whether nothing has changed since a check; one that kept no list covers everything. */
export function isCovered(check: JsonObject, lookedAt: readonly string[]): boolean {
  if (!Array.isArray(check.seen)) return true;
  const seen = new Set(check.seen);
  return lookedAt.every((id) => seen.has(id));
}

/** What the status of every step hangs on. */
type Look = { state: JobState; opened: Reopeners; lookedAt: readonly string[] };

function statusOf(step: Step, asks: readonly AskProgress[], look: Look): Status {
  const { key, kind } = step;
  const { state, opened } = look;
  if (state.conflicts.some((place) => isOfStep(place, key))) return "conflict";
  if (kind === "release") return state.released === null ? "open" : "done";
  const undone = undoing(opened.get(key));
  const outcome = outcomeOf(state, tickPlace(key), undone);
  // A mechanic may pass over a step, but no safety step and no check.
  const passed =
    outcome === "not-needed" && kind === "work" && !step.safety ? "not-needed" : "open";
  const required = asks.filter((ask) => ask.required);
  if (!required.every((ask) => ask.settled)) return passed;
  if (kind === "check") return isChecked(step, look) ? "done" : "open";
  return outcome === "done" || isAnswered(required, undone.length > 0) ? "done" : passed;
}

/** Answers make a tick needless; how a part was found does not say that it was done again. */
export function isAnswered(required: readonly { phase: string }[], opened: boolean): boolean {
  return required.some(({ phase }) => phase === "left" || !opened);
}

/** Somebody agreed who did none of the work, and it is still the work that was looked at. */
function isChecked(step: Step, { state, lookedAt }: Look): boolean {
  const place = checkPlace(step.key);
  const doers = doersOf(step, state);
  const seconds = (state.places[place] ?? []).filter((head) => isCovered(head.body, lookedAt));
  return outcomeOf(state, place) === "agreed" && seconds.some((head) => !doers.has(head.by));
}

function outcomeOf(
  state: JobState,
  place: string,
  reopeners: readonly Reopener[] = [],
): string | null {
  const heads = state.places[place] ?? [];
  if (state.conflicts.includes(place) || !isFresh(heads, reopeners)) return null;
  return String(heads[0]?.body.outcome);
}

/** Why a step is open that was done, or left out, before. */
function againOf(
  key: string,
  asks: readonly AskProgress[],
  statuses: Statuses,
  { state, opened }: Look,
): Reason[] {
  const reopeners = opened.get(key);
  if (!reopeners || isSettled(statuses.get(key))) return [];
  const ticks = (state.places[tickPlace(key)] ?? []).filter(({ body }) => body.outcome !== "open");
  const stale = asks.filter((ask) => ask.stale);
  const undoneBy = (one: Reopener) => [
    ...(one.items ? [] : [ticks]),
    ...stale.filter(({ item }) => undoing([one], item).length > 0).map(({ heads }) => heads),
  ];
  return reopeners
    .filter((one) => undoneBy(one).some((heads) => heads.length > 0 && !isFresh(heads, [one])))
    .map(({ key: work, because }) => ({ key: work, because }));
}

/** What should be done first and is not: by the step's own reasons, then by added work. */
function earlyOf(step: Step, sooner: readonly Step[], statuses: Statuses): Reason[] {
  const own = step.after.map(({ key, because }) => ({ key, because }));
  const added = sooner
    .filter((other) => other.before?.includes(step.key))
    .map((other) => ({ key: other.key, because: `it belongs before “${step.title}”` }));
  return [...own, ...added].filter(({ key }) => statuses.has(key) && !isSettled(statuses.get(key)));
}

function typicalMinutes(steps: readonly Step[]): number {
  return steps.reduce((sum, step) => sum + step.minutes.typical, 0);
}
