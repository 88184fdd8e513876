/* What the pages of one ask share: what they are given, the units it may be answered in, the marks on its scale. */
import type { Instrument } from "../store/schema";
import { TORQUE_UNITS } from "../trade/units";
import type { Marks } from "./band";
import type { AskView, JobView, StepView } from "./job-model";
import type { Frame } from "./layout";
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
};

export const PHASE_WORDS: Record<string, string> = { found: "Found", left: "Left at" };

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
