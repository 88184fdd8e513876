/* One ask: its page, its band while a number is typed, and the reading or choice that answers it. */
import { getHabits, rememberHabits } from "../store/meta";
import type { Instrument } from "../store/schema";
import { isTorqueUnit } from "../trade/units";
import { Answered, type NextPlace, Said } from "../views/ask-answer";
import { AskBox, LiveBand } from "../views/ask-form";
import { AskPage, PhaseValue } from "../views/ask-page";
import { type AskScreen, markFrom, marksOf, parseNumber, unitsOf } from "../views/ask-screen";
import { type AskView, findAsk, findStep, nextAsk } from "../views/job-model";
import { type MarkText, markTextOf } from "../views/mark";
import { askPhasePath, jobPath, stepAnchor } from "../views/paths";
import { canonicalValue, uncertaintyInOtherUnit } from "../views/reading";
import { nextTorque } from "../views/torque-page";
import { TruthLine } from "../views/truth";
import { say, word } from "../words/bench";
import type { BenchContext } from "./deps";
import { type OnAsk, onAsk, reloaded } from "./handlers";
import { loadTruth } from "./load";
import { formOf, record, seenIds, textOf } from "./record";
import { showFormAgain, showFragment, showPage } from "./respond";
import type { Router } from "./router";

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
  };
}

async function band(c: BenchContext, on: OnAsk): Promise<Response> {
  const noted = await screenOf(c, on);
  const mark = { low: c.req.query("mark_min") ?? "", high: c.req.query("mark_max") ?? "" };
  const screen = { ...noted, mark };
  const typed = parseNumber(c.req.query("value") ?? "");
  const unit = c.req.query("unit") || screen.unit;
  const typing = typed === undefined ? undefined : canonicalOrNothing(on.ask, typed, unit);
  return showFragment(
    <>
      <LiveBand screen={screen} marks={marksOf(on.view, on.ask, typing)} />
      <span id="pad-unit" class="unit" hx-swap-oob="outerHTML">
        {unit}
      </span>
    </>,
  );
}

/** Half-typed numbers may be impossible readings: then there is no marker yet. */
function canonicalOrNothing(ask: AskView, value: number, unit: string): number | undefined {
  try {
    return canonicalValue(ask.ask, value, unit) ?? undefined;
  } catch {
    return undefined;
  }
}

type Typed = { value: number | null; unit: string; loose: boolean };
type Refused = { error: string };

function typedOf(ask: AskView, form: FormData): Typed | Refused {
  const unit = textOf(form, "unit") || (ask.ask.unit ?? "");
  if (textOf(form, "loose") && ask.ask.kind === "torque") return { value: null, unit, loose: true };
  const text = textOf(form, "value");
  if (text === "") return { error: say("pad.empty") };
  const value = parseNumber(text);
  if (value === undefined) return { error: say("pad.no-number", { text: text.slice(0, 20) }) };
  if (!unitsOf(ask).includes(unit))
    return { error: say("pad.no-unit", { units: unitsOf(ask).join(", ") }) };
  return { value, unit, loose: false };
}

// A reading this many times beyond its scale is a slip of the finger or of the unit.
const BEYOND = 10;

/** The sentence of a reading that cannot be: a chain shorter than new, or one with three digits too many. */
function impossible(ask: AskView, typed: Typed): string | undefined {
  try {
    const value = canonicalValue(ask.ask, typed.value, typed.unit) ?? 0;
    const top = ask.ask.scale?.[1];
    if (typed.value === null || !top || value <= BEYOND * top) return undefined;
    return say("pad.beyond", { value: typed.value, unit: typed.unit });
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  }
}

/**
 * Standard uncertainty from the instrument's class: the class is the largest permitted error, taken as
 * evenly spread (GUM, JCGM 100, 4.3.7).
 */
function uncertaintyFrom(
  instrument: Instrument | undefined,
  value: number | null,
): number | undefined {
  if (value === null || instrument?.class_pct == null || !isTorqueUnit(instrument.unit))
    return undefined;
  return Math.round(((value * instrument.class_pct) / 100 / Math.sqrt(3)) * 1e4) / 1e4;
}

async function reading(c: BenchContext, on: OnAsk): Promise<Response> {
  const form = await formOf(c);
  const ask = findAsk(on.view, on.ask.ask.item, textOf(form, "phase")) ?? on.ask;
  const typed = typedOf(ask, form);
  const marked = markTyped(form);
  const error = "error" in typed ? typed.error : (impossible(ask, typed) ?? markProblem(marked));
  if ("error" in typed || error) return refuse(c, { ...on, ask }, form, error ?? "");
  const instruments = on.frame.workshop?.instruments ?? [];
  const instrument = instruments.find((each) => each.id === textOf(form, "instrument"));
  const u = uncertaintyInOtherUnit(ask.ask, typed.unit) ?? uncertaintyFrom(instrument, typed.value);
  const mark = markFrom(marked);
  await record(c, {
    job: on.job.header.id,
    kind: "reading",
    body: {
      step: on.view.step.key,
      item: ask.ask.item,
      phase: ask.phase,
      value: typed.value,
      unit: typed.unit,
      ...(typed.loose && { loose: true }),
      ...(u !== undefined && { u }),
      ...(instrument && { instrument: instrument.id }),
      ...(Object.keys(mark).length > 0 && { mark }),
    },
    supersedes: seenIds(textOf(form, "seen")),
  });
  const kind = habitKind(ask);
  await rememberHabits({
    [`unit:${kind}`]: typed.unit,
    ...(instrument && { [`instrument:${kind}`]: instrument.id }),
  });
  return kept(c, { ...on, ask }, textOf(form, "run"));
}

function markTyped(form: FormData): MarkText {
  return { low: textOf(form, "mark_min"), high: textOf(form, "mark_max") };
}

function markProblem(typed: MarkText): string | undefined {
  for (const text of [typed.low, typed.high]) {
    if (text !== "" && parseNumber(text) === undefined) return say("mark.no-number", { text });
  }
  const { min, max } = markFrom(typed);
  if (typeof min === "number" && typeof max === "number" && min > max) return say("mark.swapped");
  return undefined;
}

async function choice(c: BenchContext, on: OnAsk): Promise<Response> {
  const form = await formOf(c);
  const ask = findAsk(on.view, on.ask.ask.item, textOf(form, "phase")) ?? on.ask;
  const value = textOf(form, "value");
  if (!ask.ask.choices?.some((each) => each.value === value))
    return refuse(c, { ...on, ask }, form, say("pad.no-choice"));
  await record(c, {
    job: on.job.header.id,
    kind: "choice",
    body: { step: on.view.step.key, item: ask.ask.item, phase: ask.phase, value },
    supersedes: seenIds(textOf(form, "seen")),
  });
  return kept(c, { ...on, ask }, textOf(form, "run"));
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
    instrument: textOf(form, "instrument"),
    error,
  };
  return showFormAgain(<AskBox screen={screen} form={typed} />);
}

async function kept(c: BenchContext, before: OnAsk, run: string): Promise<Response> {
  const job = await reloaded(before);
  const view = findStep(job, before.view.step.key) ?? before.view;
  const ask = findAsk(view, before.ask.item, before.ask.phase) ?? before.ask;
  const truth = await loadTruth(c);
  const on = { ...before, job, view, ask };
  const screen = { ...(await screenOf(c, on)), run, frame: { ...before.frame, truth } };
  return showFragment(
    <>
      <Answered screen={screen} next={nextPlace(on, run)} />
      <PhaseValue job={job} ask={ask} oob />
      <Said screen={screen} />
      <TruthLine truth={truth} oob />
    </>,
  );
}

/** The next open ask of the run or of the step; otherwise back to where the ask came from. */
function nextPlace({ job, view, ask }: OnAsk, run: string): NextPlace {
  const id = job.header.id;
  const torque = run === "torque" ? nextTorque(job) : undefined;
  if (torque)
    return { href: hrefOf(id, torque.view.step.key, torque.ask, run), word: wordOf(torque.ask) };
  if (run === "torque") return { href: `${jobPath(id)}/torque`, word: say("ask.to-torque") };
  const other =
    view.asks.find((each) => each.place !== ask.place && each.required && !each.settled) ??
    nextAsk(view);
  if (other && other.ask.kind !== "photo")
    return { href: hrefOf(id, view.step.key, other, ""), word: wordOf(other) };
  return { href: stepAnchor(id, view.step.key), word: say("ask.to-steps") };
}

function hrefOf(job: string, step: string, ask: AskView, run: string): string {
  return askPhasePath(job, step, ask.ask.item, ask.phase, run);
}

function wordOf(ask: AskView): string {
  const key = ask.ask.phases.length > 1 ? "ask.next-phase" : "ask.next";
  return say(key, { ask: ask.ask.label, phase: word("phase", ask.phase) });
}
