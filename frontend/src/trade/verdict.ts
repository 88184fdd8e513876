/**
 * What a measured value means for the part: sound, watch, renew, unsafe or measure again.
 * See also shopfloor/trade/verdict.py: both are held together by fixtures/cases/verdict.json.
 */
import { catalogue, say } from "../words/bench";

export type Verdict = "sound" | "watch" | "renew" | "unsafe" | "measure again";

export type Rule =
  | { type: "minimum"; renew: number; watch?: number | null }
  | { type: "maximum"; renew: number; watch?: number | null }
  | { type: "band"; min: number; max: number };

/** The verdict is empty where no limit is known: the mark on the part decides. */
export type Judgement = { verdict: Verdict | ""; why: string };

export type JudgeOptions = {
  /** Standard uncertainty of the reading, in its unit. */
  uncertainty?: number;
  phase?: "found" | "left";
  safety?: boolean;
  /** Only for the words. */
  unit?: string;
};

type Reading = { value: number; low: number; high: number; unit: string };

// Two standard uncertainties: about 95 % of readings lie inside (GUM, JCGM 100).
const COVERAGE = 2;

/** A null value means found loose: no number could be read. */
export function judge(
  rule: Rule | null,
  value: number | null,
  options: JudgeOptions = {},
): Judgement {
  const { uncertainty = 0, phase = "found", safety = false, unit = "" } = options;
  const suffix = unit ? ` ${unit}` : "";
  if (value === null) return judgeLoose(rule, phase, safety, suffix);
  if (rule === null) {
    return { verdict: "", why: say("why.no-limit") };
  }
  const expanded = COVERAGE * Math.abs(uncertainty);
  const reading: Reading = {
    value: settle(value),
    low: settle(value - expanded),
    high: settle(value + expanded),
    unit: suffix,
  };
  if (rule.type === "minimum") return judgeMinimum(rule, reading);
  if (rule.type === "maximum") return judgeMaximum(rule, reading);
  return judgeBand(rule, reading, phase, safety);
}

function judgeMinimum(rule: Rule & { type: "minimum" }, reading: Reading): Judgement {
  const told = { value: words(reading), limit: withUnit(rule.renew, reading) };
  if (reading.low < rule.renew && rule.renew <= reading.high) return straddles(rule.renew, reading);
  if (reading.value < rule.renew) return { verdict: "renew", why: say("why.below", told) };
  if (rule.watch != null && reading.value < rule.watch) {
    const watch = withUnit(rule.watch, reading);
    return { verdict: "watch", why: say("why.watch-below", { ...told, watch }) };
  }
  return { verdict: "sound", why: say("why.not-below", told) };
}

function judgeMaximum(rule: Rule & { type: "maximum" }, reading: Reading): Judgement {
  const told = { value: words(reading), limit: withUnit(rule.renew, reading) };
  if (reading.low < rule.renew && rule.renew <= reading.high) return straddles(rule.renew, reading);
  if (reading.value >= rule.renew) return { verdict: "renew", why: say("why.reached", told) };
  if (rule.watch != null && reading.value >= rule.watch) {
    const watch = withUnit(rule.watch, reading);
    return { verdict: "watch", why: say("why.watch-reached", { ...told, watch }) };
  }
  return { verdict: "sound", why: say("why.under", told) };
}

function straddles(renew: number, reading: Reading): Judgement {
  const limit = withUnit(renew, reading);
  return {
    verdict: "measure again",
    why: say("why.straddles", { spread: spread(reading), limit }),
  };
}

function judgeBand(
  rule: Rule & { type: "band" },
  reading: Reading,
  phase: string,
  safety: boolean,
): Judgement {
  const band = bandInWords(rule, reading.unit);
  if (phase === "left" && crossesAnEdge(reading, rule.min, rule.max)) {
    const why = say("why.straddles-edge", { spread: spread(reading), band });
    return { verdict: "measure again", why };
  }
  const told = { value: words(reading), band };
  if (rule.min <= reading.value && reading.value <= rule.max) {
    return { verdict: "sound", why: say("why.inside", told) };
  }
  return { verdict: outside(phase, safety), why: say("why.outside", told) };
}

function crossesAnEdge(reading: Reading, min: number, max: number): boolean {
  return (reading.low < min && min <= reading.high) || (reading.low <= max && max < reading.high);
}

function outside(phase: string, safety: boolean): Verdict {
  return phase === "left" && safety ? "unsafe" : "watch";
}

function judgeLoose(rule: Rule | null, phase: string, safety: boolean, unit: string): Judgement {
  const verdict = outside(phase, safety);
  const loose = phase === "left" ? "left-loose" : "found-loose";
  if (rule?.type === "band") {
    return { verdict, why: say(`why.${loose}`, { band: bandInWords(rule, unit) }) };
  }
  return { verdict, why: say(`why.${loose}-mark`) };
}

function words(reading: Reading): string {
  return withUnit(reading.value, reading);
}

function withUnit(value: number, { unit }: Reading): string {
  return `${catalogue.number(rounded(value))}${unit}`;
}

function bandInWords({ min, max }: Rule & { type: "band" }, unit: string): string {
  return say("why.band", { min: rounded(min), max: rounded(max), unit });
}

function spread({ value, low, high, unit }: Reading): string {
  return say("why.spread", { value: rounded(value), spread: rounded((high - low) / 2), unit });
}

/** Drop the dust of binary fractions, so that 4.35 - 0.35 is 4 and not a hair below. */
function settle(value: number): number {
  return Math.floor(value * 1e9 + 0.5) / 1e9;
}

/** To three decimals, the same way as in Python. */
function rounded(value: number): number {
  return Math.floor(value * 1000 + 0.5) / 1000;
}
