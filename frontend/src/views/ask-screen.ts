/* What the pages of one ask share: what they are given, the units it may be answered in, the marks on its scale. */
import type { Ask } from "../journal/route";
import type { Instrument } from "../store/schema";
import type { Mark } from "../trade/mark";
import { TORQUE_UNITS } from "../trade/units";
import type { Marks } from "./band";
import type { AskView, JobView, StepView } from "./job-model";
import type { Kept } from "./kept-line";
import type { Frame } from "./layout";
import { type MarkText, markedAsk, markTextOf } from "./mark";
import { canonicalValue } from "./reading";

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
  /** What is marked on the part, as noted or as just typed. */
  mark: MarkText;
  /** What was kept on the way to this page. */
  kept?: Kept | undefined;
};

/** The ask with the limits that hold for the marked part. */
export function limitsOf({ ask, mark }: AskScreen): Ask {
  return markedAsk(ask.ask, markFrom(mark));
}

/** The same for a list of asks, by what was noted. */
export function notedLimits(view: StepView, ask: AskView): Ask {
  return markedAsk(ask.ask, markFrom(markTextOf(view, ask)));
}

/** The fields as numbers; what cannot be read is no mark yet. */
export function markFrom({ low, high }: MarkText): Mark {
  const [min, max] = [parseNumber(low), parseNumber(high)];
  return { ...(min !== undefined && { min }), ...(max !== undefined && { max }) };
}

/** A number as people type it; undefined when it is none. A lone point, which the pad shows as “0.”, is none. */
export function parseNumber(text: string): number | undefined {
  const plain = text.trim().replace(",", ".");
  const isNumber = /^\d{1,6}(\.\d{0,4})?$|^\.\d{1,4}$/.test(plain) && plain !== "0.";
  return isNumber ? Number(plain) : undefined;
}

export function unitsOf({ ask }: AskView): string[] {
  if (ask.kind === "torque") return TORQUE_UNITS.filter((unit) => unit !== "kgf·m");
  const own = ask.unit ? [ask.unit] : [];
  return ask.also ? [...own, ask.also.unit] : own;
}

/** The marks of what is known of this item, whatever the phase. */
export function marksOf(view: StepView, ask: AskView, typing?: number): Marks {
  const at = (phase: string) => {
    const same = view.asks.find((each) => each.item === ask.item && each.phase === phase);
    const head = same?.heads[0];
    if (typeof head?.body.value !== "number") return undefined;
    return canonicalValue(ask.ask, head.body.value, String(head.body.unit)) ?? undefined;
  };
  return { found: at("found"), left: at("left"), typing };
}
