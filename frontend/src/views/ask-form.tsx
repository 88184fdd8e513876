/* The form of one ask: a number pad with its band, or the choices; what was typed stays when it cannot be kept. */
import { say } from "../words/bench";
import { AnswerLine } from "./ask-answer";
import { type AskScreen, limitsOf, marksOf, unitsOf } from "./ask-screen";
import { Band, bandInWords, type Marks } from "./band";
import { formAttributes, Hidden } from "./forms";
import { Glyph } from "./glyph";
import type { AskView } from "./job-model";
import { MarkFields } from "./mark";
import { askPath } from "./paths";

export type AskForm = { value: string; unit: string; instrument: string; error?: string };

type BoxProps = { screen: AskScreen; form: AskForm };

/** What a saved answer takes the place of. */
export function AskBox({ screen, form }: BoxProps) {
  return (
    <div id="answer">
      {screen.ask.ask.kind === "choice" ? (
        <ChoiceForm screen={screen} form={form} />
      ) : (
        <PadForm screen={screen} form={form} />
      )}
    </div>
  );
}

/** A unit with its way of measuring, where the unit alone does not say it. */
function unitLabel({ ask }: AskView, unit: string): string {
  if (ask.also && unit === ask.also.unit)
    return say("ask.unit-ruler", { unit, n: ask.also.pitches });
  if (ask.also && unit === ask.unit) return say("ask.unit-gauge", { unit });
  return unit;
}

function formOf(screen: AskScreen, kind: string): Record<string, string> {
  const { job, view, ask } = screen;
  const action = `${askPath(job.header.id, view.step.key, ask.item)}/${kind}`;
  return { ...formAttributes(action, "reading"), "hx-target": "#answer" };
}

function Carried({ screen }: { screen: AskScreen }) {
  const { ask, run } = screen;
  const seen = ask.heads.map((head) => head.id).join(",");
  return <Hidden values={{ phase: ask.phase, run, seen }} />;
}

function PadForm({ screen, form }: BoxProps) {
  const { view, ask } = screen;
  return (
    <form {...formOf(screen, "reading")} class="pad-form" autocomplete="off" novalidate>
      <Carried screen={screen} />
      <LiveBand screen={screen} marks={marksOf(view, ask)} />
      {form.error ? (
        <p class="error" role="alert">
          {form.error}
        </p>
      ) : null}
      <Pad screen={screen} form={form} />
      <AnswerLine screen={screen} />
      <MarkFields ask={ask.ask} typed={screen.mark} />
      <Units screen={screen} chosen={form.unit} />
      <Instruments screen={screen} chosen={form.instrument} />
    </form>
  );
}

/** Drawn anew by the worker while a number is being typed. */
export function LiveBand({ screen, marks }: { screen: AskScreen; marks: Marks }) {
  const { job, view, ask } = screen;
  const limits = limitsOf(screen);
  return (
    <div
      id="band"
      class="band"
      data-quiet
      hx-get={`${askPath(job.header.id, view.step.key, ask.item)}/band`}
      hx-trigger="input delay:40ms from:#reading, change from:#reading"
      hx-include="#reading"
      hx-swap="outerMorph"
      hx-sync="this:replace"
    >
      {limits.rule || limits.scale ? <Band ask={limits} marks={marks} /> : null}
      <p class="hint">{bandInWords(limits)}</p>
    </div>
  );
}

const KEYS = ["7", "8", "9", "4", "5", "6", "1", "2", "3", ".", "0"];

function Pad({ screen, form }: BoxProps) {
  const { ask } = screen.ask;
  const loose = ask.kind === "torque" && screen.ask.phase === "found";
  return (
    <div class="pad" data-pad="value">
      <div class="pad-show">
        <label class="hidden-text" for="value">
          {ask.label}
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
      <button type="button" class="pad-key" data-key="back" aria-label={say("pad.delete")}>
        <Glyph name="back" />
      </button>
      {loose ? (
        <button type="submit" name="loose" value="1" class="button large pad-loose">
          {say("pad.loose")}
        </button>
      ) : null}
      <button type="submit" class="button primary large pad-save">
        {say("pad.save")}
      </button>
    </div>
  );
}

function Units({ screen, chosen }: { screen: AskScreen; chosen: string }) {
  const units = unitsOf(screen.ask);
  if (units.length < 2) return <Hidden values={{ unit: units[0] ?? "" }} />;
  return (
    <fieldset class="units">
      <legend class="label">{say("ask.unit")}</legend>
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
      <label for="instrument">{say("ask.instrument")}</label>
      <select id="instrument" name="instrument">
        <option value="">{say("ask.no-instrument")}</option>
        {screen.instruments.map((each) => (
          <option value={each.id} selected={each.id === chosen}>
            {each.due_on
              ? say("ask.instrument-due", { name: each.name, day: each.due_on })
              : each.name}
          </option>
        ))}
      </select>
    </div>
  );
}

function ChoiceForm({ screen, form }: BoxProps) {
  const { ask } = screen;
  const now = ask.heads.length === 1 ? ask.heads[0]?.body.value : undefined;
  return (
    <form {...formOf(screen, "choice")} class="stack tight" novalidate>
      <Carried screen={screen} />
      {form.error ? (
        <p class="error" role="alert">
          {form.error}
        </p>
      ) : null}
      <div class="choices">
        {(ask.ask.choices ?? []).map((choice) => (
          <button
            type="submit"
            name="value"
            value={choice.value}
            class="choice choice-button"
            aria-pressed={choice.value === now ? "true" : "false"}
          >
            {choice.label}
          </button>
        ))}
      </div>
      <AnswerLine screen={screen} />
    </form>
  );
}
