/**
 * What a measured value means for the part: sound, watch, renew, unsafe or measure again.
 * See also shopfloor/trade/verdict.py: both are held together by fixtures/cases/verdict.json.
 */

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
    return { verdict: "", why: "No limit is kept for this here: the mark on the part decides." };
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
  const limit = `${number(rule.renew)}${reading.unit}`;
  if (reading.low < rule.renew && rule.renew <= reading.high) {
    return { verdict: "measure again", why: `${spread(reading)} straddles the limit of ${limit}.` };
  }
  if (reading.value < rule.renew) {
    return { verdict: "renew", why: `${words(reading)} is below the limit of ${limit}.` };
  }
  if (rule.watch != null && reading.value < rule.watch) {
    const mark = `${number(rule.watch)}${reading.unit}`;
    return {
      verdict: "watch",
      why: `${words(reading)} is above the limit of ${limit} but below ${mark}: plan to renew it.`,
    };
  }
  return { verdict: "sound", why: `${words(reading)} is not below the limit of ${limit}.` };
}

function judgeMaximum(rule: Rule & { type: "maximum" }, reading: Reading): Judgement {
  const limit = `${number(rule.renew)}${reading.unit}`;
  if (reading.low < rule.renew && rule.renew <= reading.high) {
    return { verdict: "measure again", why: `${spread(reading)} straddles the limit of ${limit}.` };
  }
  if (reading.value >= rule.renew) {
    return { verdict: "renew", why: `${words(reading)} has reached the limit of ${limit}.` };
  }
  if (rule.watch != null && reading.value >= rule.watch) {
    const mark = `${number(rule.watch)}${reading.unit}`;
    return {
      verdict: "watch",
      why: `${words(reading)} is under the limit of ${limit} but has reached ${mark}: plan to renew it.`,
    };
  }
  return { verdict: "sound", why: `${words(reading)} is under the limit of ${limit}.` };
}

function judgeBand(
  rule: Rule & { type: "band" },
  reading: Reading,
  phase: string,
  safety: boolean,
): Judgement {
  const band = `${number(rule.min)} to ${number(rule.max)}${reading.unit}`;
  if (phase === "left" && crossesAnEdge(reading, rule.min, rule.max)) {
    return { verdict: "measure again", why: `${spread(reading)} straddles the edge of ${band}.` };
  }
  if (rule.min <= reading.value && reading.value <= rule.max) {
    return { verdict: "sound", why: `${words(reading)} is inside ${band}.` };
  }
  return { verdict: outside(phase, safety), why: `${words(reading)} is outside ${band}.` };
}

function crossesAnEdge(reading: Reading, min: number, max: number): boolean {
  return (reading.low < min && min <= reading.high) || (reading.low <= max && max < reading.high);
}

function outside(phase: string, safety: boolean): Verdict {
  return phase === "left" && safety ? "unsafe" : "watch";
}

function judgeLoose(rule: Rule | null, phase: string, safety: boolean, unit: string): Judgement {
  const lead = phase === "left" ? "Left loose" : "Found loose";
  const verdict = outside(phase, safety);
  if (rule?.type === "band") {
    const band = `${number(rule.min)} to ${number(rule.max)}${unit}`;
    return { verdict, why: `${lead}; it belongs inside ${band}.` };
  }
  return { verdict, why: `${lead}; the mark on the part decides.` };
}

function words(reading: Reading): string {
  return `${number(reading.value)}${reading.unit}`;
}

function spread(reading: Reading): string {
  return `${number(reading.value)} ± ${number((reading.high - reading.low) / 2)}${reading.unit}`;
}

/** Drop the dust of binary fractions, so that 4.35 - 0.35 is 4 and not a hair below. */
function settle(value: number): number {
  return Math.floor(value * 1e9 + 0.5) / 1e9;
}

/** At most three decimals, no trailing zeros; rounds the same way in both languages. */
function number(value: number): string {
  const rounded = Math.floor(value * 1000 + 0.5) / 1000;
  const text = rounded.toFixed(3).replace(/\.?0+$/, "");
  return text === "-0" ? "0" : text;
}
