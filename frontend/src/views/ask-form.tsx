/* The form of one ask: a number pad with its band, or the choices; what was typed stays when it cannot be kept. */
import { say } from "../words/bench";
import { type AskScreen, limitsOf, marksOf, unitsOf } from "./ask-screen";
import { Band, bandInWords, type Marks } from "./band";
import { formAttributes, Hidden } from "./forms";
import { Glyph } from "./glyph";
import type { AskView } from "./job-model";
import { LastValues, lastValues } from "./last-values";
import { MarkFields } from "./mark";
import { askPath } from "./paths";
import { InstrumentOptions } from "./torque-page";
import { canBeFoundLoose, fastenersOf } from "./torque-run";

export type AskForm = { value: string; unit: string; error?: string };

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

/** How each unit is measured, where the unit alone does not say it. */
function unitsInWords({ ask }: AskView): string {
  if (!ask.also) return "";
  const ruler = say("ask.unit-ruler", { unit: ask.also.unit, n: ask.also.pitches });
  return say("ask.units", { ruler, gauge: say("ask.unit-gauge", { unit: ask.unit ?? "" }) });
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
  const { job, view, ask } = screen;
  return (
    <form {...formOf(screen, "reading")} class="pad-form" autocomplete="off" novalidate>
      <Carried screen={screen} />
      <LiveBand screen={screen} marks={marksOf(view, ask)} />
      <LastValues values={lastValues(job, view, ask)} />
      {form.error ? (
        <p class="error" role="alert">
          {form.error}
        </p>
      ) : null}
      <Pad screen={screen} form={form} />
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
      hx-trigger="input delay:40ms from:main"
      hx-include="#reading"
      hx-swap="outerMorph"
      hx-sync="this:replace"
    >
      {limits.rule ? <Band ask={limits} marks={marks} /> : null}
      <p class="hint">
        {bandInWords(limits)} {unitsInWords(ask)}
      </p>
    </div>
  );
}

const KEYS = ["7", "8", "9", "4", "5", "6", "1", "2", "3", ".", "0"];

function Pad({ screen, form }: BoxProps) {
  const { ask, item } = screen.ask;
  const fastener = fastenersOf(screen.job).find(
    (each) => each.view.step.key === screen.view.step.key && each.item === item,
  );
  const loose = fastener !== undefined && canBeFoundLoose(fastener);
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
        <Units screen={screen} chosen={form.unit} />
      </div>
      {KEYS.map((key) => (
        <button type="button" class={key === "0" ? "pad-key wide" : "pad-key"} data-key={key}>
          {key}
        </button>
      ))}
      <button type="button" class="pad-key pad-back" data-key="back" aria-label={say("pad.delete")}>
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
  if (units.length < 2) {
    return (
      <>
        <span class="unit">{units[0] ?? ""}</span>
        <Hidden values={{ unit: units[0] ?? "" }} />
      </>
    );
  }
  return (
    <>
      <label class="hidden-text" for="unit">
        {say("ask.unit")}
      </label>
      <select id="unit" name="unit" class="pad-unit">
        {units.map((unit) => (
          <option value={unit} selected={unit === chosen}>
            {unit}
          </option>
        ))}
      </select>
    </>
  );
}

/** Below the pad, which it belongs to: what is seldom changed, and what is kept already. */
export function PadMore({ screen }: { screen: AskScreen }) {
  if (screen.ask.ask.kind === "choice") return null;
  return (
    <div class="pad-more stack tight">
      <Instruments screen={screen} chosen={screen.instrument} />
      <MarkFields ask={screen.ask.ask} typed={screen.mark} form="reading" />
    </div>
  );
}

function Instruments({ screen, chosen }: { screen: AskScreen; chosen: string }) {
  if (screen.instruments.length === 0) return null;
  const torque = screen.ask.ask.kind === "torque";
  return (
    <div class="field">
      <label for="instrument">{say(torque ? "torque.wrench" : "ask.instrument")}</label>
      <select id="instrument" name="instrument" form="reading">
        <InstrumentOptions
          instruments={screen.instruments}
          chosen={chosen}
          clock={screen.frame.truth.clock}
        />
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
    </form>
  );
}
