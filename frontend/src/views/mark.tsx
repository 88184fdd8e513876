/* What is marked on the part itself: asked for beside the pad, and drawn in the place of the table's limits. */
import type { Ask } from "../journal/route";
import { type Mark, withMark } from "../trade/mark";
import { say } from "../words/bench";
import type { AskView, StepView } from "./job-model";
import { numeral } from "./words";

/** The two fields as typed; empty where nothing is marked. */
export type MarkText = { low: string; high: string };

const NOTHING: MarkText = { low: "", high: "" };

/** The mark noted with this reading, or with another reading of the same item. */
export function markTextOf(view: StepView, ask: AskView): MarkText {
  const same = view.asks.filter((each) => each.item === ask.item);
  const noted = [ask, ...same]
    .flatMap((each) => each.heads)
    .map((head) => head.body.mark as Mark | undefined)
    .find((mark) => mark !== undefined);
  if (!noted) return NOTHING;
  return { low: textOf(noted.min), high: textOf(noted.max) };
}

function textOf(value: number | null | undefined): string {
  return value == null ? "" : numeral(value);
}

/** The same ask with the limits that hold for the marked part, for drawing and for words. */
export function markedAsk(ask: Ask, mark: Mark): Ask {
  const rule = withMark(ask.rule ?? null, mark);
  if (rule === (ask.rule ?? null)) return ask;
  const top = rule?.type === "band" ? rule.max : (rule?.renew ?? 0);
  const scale = ask.scale && top > ask.scale[1] ? [ask.scale[0], top * 1.3] : ask.scale;
  return { ...ask, rule, ...(scale && { scale: scale as [number, number] }) };
}

/** Which of the two fields a rule has a use for. */
function sidesOf({ rule }: Ask): { low: boolean; high: boolean } {
  return { low: rule?.type !== "maximum", high: rule?.type !== "minimum" };
}

type FieldsProps = { ask: Ask; typed: MarkText; form: string };

/** The fields belong to the form of that id, wherever they stand. */
export function MarkFields({ ask, typed, form }: FieldsProps) {
  if (ask.kind !== "torque" && !ask.mark && ask.rule) return null;
  const { low, high } = sidesOf(ask);
  const open = typed.low !== "" || typed.high !== "";
  return (
    <details class="marked" open={open}>
      <summary>{say("mark.title")}</summary>
      <p class="hint">{say("mark.hint")}</p>
      <div class="row">
        {low ? (
          <Side
            form={form}
            name="mark_min"
            label={say("mark.from")}
            unit={ask.unit}
            value={typed.low}
          />
        ) : null}
        {high ? (
          <Side
            form={form}
            name="mark_max"
            label={say("mark.to")}
            unit={ask.unit}
            value={typed.high}
          />
        ) : null}
      </div>
    </details>
  );
}

type SideProps = {
  form: string;
  name: string;
  label: string;
  unit: string | null | undefined;
  value: string;
};

function Side({ form, name, label, unit, value }: SideProps) {
  return (
    <div class="field">
      <label for={name}>{unit ? say("mark.with-unit", { label, unit }) : label}</label>
      <input id={name} name={name} form={form} class="narrow" inputmode="decimal" value={value} />
    </div>
  );
}
