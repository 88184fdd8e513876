/* One ask: its page, its band while a number is typed, and the reading or choice that answers it. */

import { seenOn } from "../journal/again";
import type { Entry } from "../journal/entry";
import { getHabits, rememberHabits } from "../store/meta";
import type { Instrument } from "../store/schema";
import { isTorqueUnit } from "../trade/units";
import { Answered, type NextPlace } from "../views/ask-answer";
import { AskBox, LiveBand } from "../views/ask-form";
import { AskPage, PhaseValue } from "../views/ask-page";
import { type AskScreen, markFrom, marksOf, parseNumber, unitsOf } from "../views/ask-screen";
import {
  type AskView,
  findAsk,
  findStep,
  type JobView,
  nextAsk,
  type StepView,
} from "../views/job-model";
import { KeptChange } from "../views/kept-line";
import { markTextOf } from "../views/mark";
import { askPhasePath, stepAnchor, torquePath } from "../views/paths";
import { entryOf, fastenersOf, nextFastener, placeOf } from "../views/torque-run";
import { TruthLine } from "../views/truth";
import { say, word } from "../words/bench";
import type { BenchContext } from "./deps";
import { type OnAsk, onAsk, reloaded } from "./handlers";
import { justKept, loadTruth } from "./load";
import { formOf, record, seenIds, textOf } from "./record";
import { goTo, showFormAgain, showFragment, showPage } from "./respond";
import type { Router } from "./router";
import {
  canonicalOrNothing,
  impossible,
  markProblem,
  markTyped,
  typedOf,
  uncertaintyFor,
} from "./typed";
import { cannotVouch } from "./vouching";

export function asksRoutes(app: Router): void {
  const path = "/bench/jobs/:job/steps/:step/asks/:item";
  app.get(
    path,
    onAsk(async (c, on) => showPage(await AskPage(await screenOf(c, on)))),
  );
  app.get(`${path}/band`, onAsk(band));
  app.post(`${path}/reading`, onAsk(reading));
  app.post(`${path}/choice`, onAsk(choice));
}

/** Readings of one kind share their habits: the wrench of the last torque is the wrench of the next. */
function habitKind({ ask }: AskView): string {
  return ask.kind === "torque" ? "torque" : (ask.unit ?? ask.kind);
}

function instrumentsFor(ask: AskView, all: Instrument[]): Instrument[] {
  if (ask.ask.kind === "torque") return all.filter((each) => isTorqueUnit(each.unit));
  const units = unitsOf(ask);
  const fitting = all.filter((each) => units.includes(each.unit));
  return fitting.length > 0 ? fitting : all.filter((each) => !isTorqueUnit(each.unit));
}

async function screenOf(c: BenchContext, { frame, job, view, ask }: OnAsk): Promise<AskScreen> {
  const habits = await getHabits();
  const kind = habitKind(ask);
  const units = unitsOf(ask);
  const habit = habits[`unit:${kind}`];
  return {
    frame,
    job,
    view,
    ask,
    run: c.req.query("run") ?? "",
    unit: habit && units.includes(habit) ? habit : (units[0] ?? ""),
    instruments: instrumentsFor(ask, frame.workshop?.instruments ?? []),
    instrument: habits[`instrument:${kind}`] ?? "",
    mark: markTextOf(view, ask),
    kept: justKept(c, job, frame.me),
  };
}

async function band(c: BenchContext, on: OnAsk): Promise<Response> {
  const noted = await screenOf(c, on);
  const mark = { low: c.req.query("mark_min") ?? "", high: c.req.query("mark_max") ?? "" };
  const screen = { ...noted, mark };
  const typed = parseNumber(c.req.query("value") ?? "");
  const unit = c.req.query("unit") || screen.unit;
  const typing = typed === undefined ? undefined : canonicalOrNothing(on.ask, typed, unit);
  return showFragment(<LiveBand screen={screen} marks={marksOf(on.view, on.ask, typing)} />);
}

async function reading(c: BenchContext, on: OnAsk): Promise<Response> {
  const form = await formOf(c);
  const shown = findAsk(on.view, on.ask.item, textOf(form, "phase")) ?? on.ask;
  const ask = askMeant(on.view, shown, form);
  const typed = typedOf(ask, form);
  const marked = markTyped(form);
  const error = "error" in typed ? typed.error : (impossible(ask, typed) ?? markProblem(marked));
  if ("error" in typed || error) return refuse(c, { ...on, ask }, form, error ?? "");
  const instruments = on.frame.workshop?.instruments ?? [];
  const instrument = instruments.find((each) => each.id === textOf(form, "instrument"));
  const u = uncertaintyFor(ask, instrument, typed);
  const mark = markFrom(marked);
  const body = {
    step: on.view.step.key,
    item: ask.item,
    phase: ask.phase,
    value: typed.value,
    unit: typed.unit,
    ...(typed.loose && { loose: true }),
    ...(u !== undefined && { u }),
    ...(instrument && { instrument: instrument.id }),
    ...(Object.keys(mark).length > 0 && { mark }),
    ...seenOn(on.view.step.key, on.job.state),
  };
  const { clock } = on.frame.truth;
  const doubt = cannotVouch({ ask, body, instrument, all: instruments, clock });
  if (doubt) return refuse(c, { ...on, ask }, form, doubt);
  const entry = await record(c, {
    job: on.job.header.id,
    kind: "reading",
    body,
    supersedes: ask === shown ? seenIds(textOf(form, "seen")) : [],
  });
  if (!typed.loose) await rememberMeans(ask, typed.unit, instrument?.id);
  const run = textOf(form, "run");
  const way = wayOn(on.job, on.view, entry, run);
  return way ? goTo(c, way) : kept(c, { ...on, ask }, entry, run);
}

/** Loose is how it was found, also when the pad asks what it is left at. */
function askMeant(view: StepView, shown: AskView, form: FormData): AskView {
  return (textOf(form, "loose") && findAsk(view, shown.item, "found")) || shown;
}

async function rememberMeans(ask: AskView, unit: string, instrument?: string): Promise<void> {
  const kind = habitKind(ask);
  await rememberHabits({
    [`unit:${kind}`]: unit,
    ...(instrument && { [`instrument:${kind}`]: instrument }),
  });
}

async function choice(c: BenchContext, on: OnAsk): Promise<Response> {
  const form = await formOf(c);
  const ask = findAsk(on.view, on.ask.ask.item, textOf(form, "phase")) ?? on.ask;
  const value = textOf(form, "value");
  if (!ask.ask.choices?.some((each) => each.value === value))
    return refuse(c, { ...on, ask }, form, say("pad.no-choice"));
  const entry = await record(c, {
    job: on.job.header.id,
    kind: "choice",
    body: {
      step: on.view.step.key,
      item: ask.ask.item,
      phase: ask.phase,
      value,
      ...seenOn(on.view.step.key, on.job.state),
    },
    supersedes: seenIds(textOf(form, "seen")),
  });
  return kept(c, { ...on, ask }, entry, textOf(form, "run"));
}

async function refuse(
  c: BenchContext,
  on: OnAsk,
  form: FormData,
  error: string,
): Promise<Response> {
  const noted = await screenOf(c, on);
  const screen = { ...noted, run: textOf(form, "run"), mark: markTyped(form) };
  const typed = {
    value: textOf(form, "value"),
    unit: textOf(form, "unit") || screen.unit,
    error,
  };
  return showFormAgain(<AskBox screen={screen} form={typed} />);
}

async function kept(c: BenchContext, on: OnAsk, entry: Entry, run: string): Promise<Response> {
  const job = await reloaded(on);
  const view = findStep(job, on.view.step.key) ?? on.view;
  const ask = findAsk(view, on.ask.item, on.ask.phase) ?? on.ask;
  if (run === "torque" && PASSES.has(ask.verdict) && ask.settled)
    return goTo(c, keptHref(nextInRun({ ...on, job, view, ask }).href, entry));
  const truth = await loadTruth(c);
  const now = { ...on, job, view, ask };
  const screen = { ...(await screenOf(c, now)), run, frame: { ...on.frame, truth } };
  return showFragment(
    <>
      <Answered screen={screen} next={run ? nextInRun(now) : nextPlace(now)} />
      <PhaseValue job={job} ask={ask} oob />
      <KeptChange job={job} entry={entry} at="#kept" />
      <TruthLine truth={truth} oob />
    </>,
  );
}

/** In the run the next fastener comes by itself; a verdict that wants something is looked at first. */
const PASSES: ReadonlySet<string> = new Set(["sound", ""]);

function keptHref(href: string, entry: Entry): string {
  return `${href}${href.includes("?") ? "&" : "?"}kept=${entry.id}`;
}

/** After “found loose”: on to what the same fastener is left at, or back into the list. */
function wayOn({ header }: JobView, view: StepView, entry: Entry, run: string): string | undefined {
  if (entry.body.loose !== true) return undefined;
  const item = String(entry.body.item);
  if (run === "list")
    return `${keptHref(torquePath(header.id), entry)}#fastener-${view.step.key}-${item}`;
  const left = findAsk(view, item, "left");
  return left && keptHref(hrefOf(header.id, view.step.key, left, run), entry);
}

/** The next open ask of the step; otherwise back to where the ask came from. */
function nextPlace({ job, view, ask }: OnAsk): NextPlace {
  const id = job.header.id;
  const other =
    view.asks.find((each) => each.place !== ask.place && each.required && !each.settled) ??
    nextAsk(view);
  if (other && other.ask.kind !== "photo")
    return { href: hrefOf(id, view.step.key, other, ""), word: wordOf(other) };
  return { href: stepAnchor(id, view.step.key), word: say("ask.to-steps") };
}

function nextInRun({ job, view, ask }: OnAsk): NextPlace {
  const id = job.header.id;
  const all = fastenersOf(job);
  const next = nextFastener(all, all[placeOf(all, view.step.key, ask.item)]);
  const entry = next && entryOf(next);
  if (!entry) return { href: torquePath(id), word: say("ask.to-torque") };
  return {
    href: hrefOf(id, entry.view.step.key, entry.ask, "torque"),
    word: wordOf(entry.ask),
  };
}

function hrefOf(job: string, step: string, ask: AskView, run: string): string {
  return askPhasePath(job, step, ask.ask.item, ask.phase, run);
}

function wordOf(ask: AskView): string {
  const key = ask.ask.phases.length > 1 ? "ask.next-phase" : "ask.next";
  return say(key, { ask: ask.ask.label, phase: word("phase", ask.phase) });
}
