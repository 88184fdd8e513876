/* The page of one ask: a number pad with its band, or the choices; and the answer with its verdict at once. */
import type { Child } from "hono/jsx";
import type { Instrument } from "../store/schema";
import { TORQUE_UNITS } from "../trade/units";
import type { Verdict } from "../trade/verdict";
import { Band, bandInWords, type Marks } from "./band";
import { VerdictChip } from "./chip";
import { ConflictNotice } from "./conflict";
import { formAttributes, Hidden } from "./forms";
import { Glyph } from "./glyph";
import { type AskView, type JobView, nameOf, type StepView, valueIn } from "./job-model";
import { type Frame, Layout } from "./layout";
import { askPath, askPhasePath, jobPath, stepAnchor } from "./paths";
import { canonicalValue, said } from "./reading";
import { sentence, sourceInWords, whenInWords } from "./words";

export type AskScreen = {
  frame: Frame;
  job: JobView;
  view: StepView;
  ask: AskView;
  /** "torque" while walking all fasteners. */
  run: string;
  unit: string;
  instruments: Instrument[];
  instrument: string;
};

export type AskForm = { value: string; unit: string; instrument: string; error?: string };

const PHASE_WORDS: Record<string, string> = { found: "Found", left: "Left at" };

export function unitsOf(ask: AskView): string[] {
  if (ask.ask.kind === "torque") return TORQUE_UNITS.filter((unit) => unit !== "kgf·m");
  const own = ask.ask.unit ? [ask.ask.unit] : [];
  return ask.ask.also ? [...own, ask.ask.also.unit] : own;
}

/** A unit with its way of measuring, where the unit alone does not say it. */
export function unitLabel(ask: AskView, unit: string): string {
  const also = ask.ask.also;
  if (also && unit === also.unit) return `${unit} on a ruler over ${also.pitches} half links`;
  if (also && unit === ask.ask.unit) return `${unit} on a gauge`;
  return unit;
}

function siblings({ view, ask }: AskScreen): AskView[] {
  return view.asks.filter((each) => each.ask.item === ask.ask.item);
}

/** The marks of what is known of this item, whatever the phase. */
export function marksOf(view: StepView, ask: AskView, typing?: number): Marks {
  const at = (phase: string) => {
    const head = view.asks.find((each) => each.item === ask.item && each.phase === phase)?.heads[0];
    if (typeof head?.body.value !== "number") return undefined;
    return canonicalValue(ask.ask, head.body.value, String(head.body.unit)) ?? undefined;
  };
  return { found: at("found"), left: at("left"), typing };
}

export function AskPage(screen: AskScreen) {
  const { frame, job, view, ask, run } = screen;
  const id = job.header.id;
  const back = run
    ? { href: `${jobPath(id)}/torque`, word: "Torque run" }
    : { href: stepAnchor(id, view.step.key), word: job.header.number };
  return (
    <Layout frame={frame} title={ask.ask.label} back={back} job={id}>
      <header class="ask-head">
        <h1>{ask.ask.label}</h1>
        <Phases screen={screen} />
      </header>
      {view.conflicts.includes(ask.place) ? (
        <ConflictNotice
          job={job}
          view={view}
          place={ask.place}
          clockTime={(iso) => whenInWords(iso, frame.truth.clock)}
        />
      ) : null}
      {ask.ask.kind === "choice" ? (
        <ChoiceForm screen={screen} />
      ) : (
        <PadForm screen={screen} form={emptyForm(screen)} />
      )}
      <Answer screen={screen} saved={false} />
      <About screen={screen} />
    </Layout>
  );
}

export function emptyForm({ unit, instrument }: AskScreen): AskForm {
  return { value: "", unit, instrument };
}

function Phases({ screen }: { screen: AskScreen }) {
  const { job, view, ask, run } = screen;
  const all = siblings(screen);
  if (all.length < 2) return <p class="soft">{PHASE_WORDS[ask.phase]}</p>;
  return (
    <nav class="phases" aria-label="Found or left">
      {all.map((each) => (
        <a
          class="phase"
          href={askPhasePath(job.header.id, view.step.key, ask.ask.item, each.phase, run)}
          {...(each.phase === ask.phase ? { "aria-current": "page" } : {})}
        >
          {PHASE_WORDS[each.phase]}
          <span class="soft">{phaseValue(job, each)}</span>
        </a>
      ))}
    </nav>
  );
}

function phaseValue(job: JobView, ask: AskView): string {
  const value = valueIn(job, ask);
  return value ? said(value, ask.ask) : "open";
}

function hiddenOf({ ask, run }: AskScreen): Record<string, string> {
  return { phase: ask.phase, run };
}

export function Seen({ ask, oob }: { ask: AskView; oob?: boolean }) {
  const value = ask.heads.map((head) => head.id).join(",");
  return (
    <input
      type="hidden"
      id="seen"
      name="seen"
      value={value}
      {...(oob ? { "hx-swap-oob": "outerHTML" } : {})}
    />
  );
}

export function PadForm({ screen, form }: { screen: AskScreen; form: AskForm }) {
  const { job, view, ask } = screen;
  const action = `${askPath(job.header.id, view.step.key, ask.ask.item)}/reading`;
  return (
    <form
      {...formAttributes(action, "reading")}
      hx-target="#answer"
      class="pad-form"
      autocomplete="off"
      novalidate
    >
      <Hidden values={hiddenOf(screen)} />
      <Seen ask={ask} />
      <LiveBand screen={screen} marks={marksOf(view, ask)} />
      <Pad screen={screen} form={form} />
      <Units screen={screen} chosen={form.unit} />
      <Instruments screen={screen} chosen={form.instrument} />
    </form>
  );
}

/** Drawn anew by the worker while a number is being typed. */
export function LiveBand({ screen, marks }: { screen: AskScreen; marks: Marks }) {
  const { job, view, ask } = screen;
  return (
    <div
      id="band"
      class="band"
      data-quiet
      hx-get={`${askPath(job.header.id, view.step.key, ask.ask.item)}/band`}
      hx-trigger="input delay:40ms from:#reading, change from:#reading"
      hx-include="#reading"
      hx-swap="outerMorph"
      hx-sync="this:replace"
    >
      <Band ask={ask.ask} marks={marks} />
      <p class="hint">{bandInWords(ask.ask)}</p>
    </div>
  );
}

const KEYS = ["7", "8", "9", "4", "5", "6", "1", "2", "3", ".", "0"];

function Pad({ screen, form }: { screen: AskScreen; form: AskForm }) {
  return (
    <div class="pad" data-pad="value">
      <div class="pad-show">
        <label class="hidden-text" for="value">
          {screen.ask.ask.label}
        </label>
        <input
          id="value"
          name="value"
          class="pad-value"
          inputmode="decimal"
          enterkeyhint="done"
          placeholder="–"
          value={form.value}
        />
        <span id="pad-unit" class="unit">
          {form.unit}
        </span>
      </div>
      {KEYS.map((key) => (
        <button type="button" class="pad-key" data-key={key}>
          {key}
        </button>
      ))}
      <button type="button" class="pad-key" data-key="back" aria-label="Delete the last digit">
        <Glyph name="back" />
      </button>
      {screen.ask.ask.kind === "torque" ? <LooseButton phase={screen.ask.phase} /> : null}
      <button type="submit" class="button primary large pad-save">
        Save
      </button>
    </div>
  );
}

function LooseButton({ phase }: { phase: string }) {
  if (phase !== "found") return null;
  return (
    <button type="submit" name="loose" value="1" class="button large pad-loose" formnovalidate>
      Found loose
    </button>
  );
}

function Units({ screen, chosen }: { screen: AskScreen; chosen: string }) {
  const units = unitsOf(screen.ask);
  if (units.length < 2) return <Hidden values={{ unit: units[0] ?? "" }} />;
  return (
    <fieldset class="units">
      <legend class="label">Unit</legend>
      <div class="choices across">
        {units.map((unit) => (
          <label class="choice">
            <input type="radio" name="unit" value={unit} checked={unit === chosen} />
            <span>{unitLabel(screen.ask, unit)}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}

function Instruments({ screen, chosen }: { screen: AskScreen; chosen: string }) {
  if (screen.instruments.length === 0) return null;
  return (
    <div class="field">
      <label for="instrument">Measured with</label>
      <select id="instrument" name="instrument">
        <option value="">not noted</option>
        {screen.instruments.map((each) => (
          <option value={each.id} selected={each.id === chosen}>
            {each.due_on ? `${each.name} (check due ${each.due_on})` : each.name}
          </option>
        ))}
      </select>
    </div>
  );
}

export function ChoiceForm({ screen, error }: { screen: AskScreen; error?: string }) {
  const { job, view, ask } = screen;
  const action = `${askPath(job.header.id, view.step.key, ask.ask.item)}/choice`;
  return (
    <form {...formAttributes(action, "reading")} hx-target="#answer" class="stack tight" novalidate>
      <Hidden values={hiddenOf(screen)} />
      <Seen ask={ask} />
      {error ? <p class="error">{error}</p> : null}
      <div class="choices">
        {(ask.ask.choices ?? []).map((choice) => (
          <button type="submit" name="value" value={choice.value} class="choice choice-button">
            {choice.label}
          </button>
        ))}
      </div>
    </form>
  );
}

type AnswerProps = {
  screen: AskScreen;
  saved: boolean;
  next?: { href: string; word: string } | undefined;
  error?: string;
};

/** What is kept now, what it means, and where to go next. */
export function Answer({ screen, saved, next, error }: AnswerProps) {
  const { ask, job, frame } = screen;
  const value = valueIn(job, ask);
  return (
    <section id="answer" class={saved ? "answer saved" : "answer"} aria-live="polite">
      {error ? <p class="error">{error}</p> : null}
      {value ? (
        <div class="panel stack tight">
          <p class="row">
            <span class="figure">{said(value, ask.ask)}</span>
            <VerdictChip verdict={ask.verdict as Verdict | ""} />
          </p>
          {ask.why ? <p>{ask.why}</p> : null}
          <p class="soft">
            {saved ? "Kept. " : ""}
            {`${PHASE_WORDS[ask.phase]}, ${nameOf(job, value.by)}, ${whenInWords(value.at, frame.truth.clock)}`}
          </p>
          {needsFinding(ask) ? <Findable screen={screen} /> : null}
        </div>
      ) : null}
      {saved && next ? (
        <a class="button primary large full" href={next.href}>
          {next.word}
          <Glyph name="next" />
        </a>
      ) : null}
    </section>
  );
}

function needsFinding(ask: AskView): boolean {
  return ask.verdict === "renew" || ask.verdict === "unsafe";
}

function Findable({ screen }: { screen: AskScreen }) {
  const { job, view, ask } = screen;
  const query = new URLSearchParams({ step: view.step.key, item: ask.ask.item });
  return (
    <a class="button" href={`${jobPath(job.header.id)}/finding?${query}`}>
      <Glyph name="finding" />
      Report it as a finding
    </a>
  );
}

function About({ screen }: { screen: AskScreen }) {
  const { ask } = screen.ask;
  const lines: Child[] = [ask.mark, ask.note]
    .filter(Boolean)
    .map((line) => <p>{sentence(String(line))}</p>);
  return (
    <section class="stack tight soft" aria-label="About this limit">
      {lines}
      {ask.source ? <p>{`Limit from: ${ask.source}.`}</p> : null}
      {ask.source_kind ? (
        <p>{sentence(`Kind of source: ${sourceInWords(ask.source_kind)}`)}</p>
      ) : null}
    </section>
  );
}
