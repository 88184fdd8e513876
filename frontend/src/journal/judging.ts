/**
 * What does one recorded value mean for what its step asked?
 * Brings the value into the unit of the ask's limits and lets trade/verdict.ts judge it.
 * See also shopfloor/journal/judging.py.
 */
import { elongationPercent, PITCH_MM } from "../trade/chain";
import { type Mark, withMark } from "../trade/mark";
import { isTorqueUnit, toNewtonMetres } from "../trade/units";
import { judge, type Rule, type Verdict } from "../trade/verdict";
import { say } from "../words/bench";
import type { Ask, Phase } from "./route";
import type { Head } from "./state";
import type { JsonObject } from "./values";

/**
 * A verdict (empty where no limit is known) with its sentence. `answers` is false where the value
 * does not answer the ask: another unit, a choice that is not offered, a fastener that is still
 * loose when it should be left tight.
 */
export type Judged = { verdict: Verdict | ""; why: string; answers: boolean };

type Measured = { value: number | null; uncertainty: number };

// From the worst down; where equal values were judged differently, the worse verdict is told.
const SEVERITY: readonly (Verdict | "")[] = [
  "unsafe",
  "renew",
  "measure again",
  "watch",
  "sound",
  "",
];
const TORQUE_UNIT = "N·m";
// Past this it is a misread ruler, not a chain. See also shopfloor/trade/chain.py.
const CREDIBLE_PERCENT = [-1, 5] as const;

/** The verdict on one entry of the ask's place. */
export function judgeHead(ask: Ask, phase: Phase, head: Head): Judged {
  if (ask.kind === "choice") return judgeChoice(ask, head);
  if (head.kind !== "reading") return noAnswer(say("why.not-a-number"));
  return judgeReading(ask, phase, head.body);
}

/** The worst of the verdicts on values that agree. */
export function worst(judged: readonly Judged[]): Judged {
  const [first = noAnswer(""), ...others] = judged;
  return others.reduce((kept, one) => (severity(one) < severity(kept) ? one : kept), first);
}

export function noAnswer(why: string): Judged {
  return { verdict: "", why, answers: false };
}

function severity(judged: Judged): number {
  return SEVERITY.indexOf(judged.verdict);
}

function judgeChoice(ask: Ask, head: Head): Judged {
  const choice =
    head.kind === "choice"
      ? (ask.choices ?? []).findLast((one) => one.value === head.body.value)
      : undefined;
  if (choice === undefined) return noAnswer(say("why.no-choice"));
  return { verdict: choice.verdict ?? "", why: `${choice.label}.`, answers: true };
}

/** The verdict on what a reading says, kept or not. */
export function judgeReading(ask: Ask, phase: Phase, body: JsonObject): Judged {
  const loose = body.loose === true;
  const measured = inUnitOfAsk(ask, body);
  if (typeof measured === "string") return noAnswer(measured);
  const { verdict, why } = judge(
    withMark(ruleOf(ask), body.mark as Mark | undefined),
    loose ? null : measured.value,
    {
      uncertainty: measured.uncertainty,
      phase,
      safety: ask.safety === true,
      unit: ask.kind === "torque" ? TORQUE_UNIT : (ask.unit ?? ""),
    },
  );
  return { verdict, why, answers: !(loose && phase === "left") };
}

/** Value and standard uncertainty in the unit of the limits, or why they cannot be compared. */
function inUnitOfAsk(ask: Ask, body: JsonObject): Measured | string {
  const unit = String(body.unit);
  const value = typeof body.value === "number" ? body.value : null;
  const own = typeof body.u === "number" ? body.u : null;
  const kept = ask.uncertainty ?? 0;
  if (ask.kind === "torque") return torque(value, own, kept, unit, torqueUnit(ask));
  if (!ask.unit || ask.unit === unit) return { value, uncertainty: own ?? kept };
  if (ask.also && unit === ask.also.unit) return chain(value, own, kept, ask.also.pitches);
  return say("why.other-unit", { unit, own: ask.unit });
}

function torque(
  value: number | null,
  own: number | null,
  kept: number,
  unit: string,
  askUnit: string,
): Measured | string {
  if (!isTorqueUnit(unit)) return say("why.no-torque-unit", { unit });
  return {
    value: value === null ? null : toNewtonMetres(value, unit),
    uncertainty: own === null ? toNewtonMetres(kept, askUnit) : toNewtonMetres(own, unit),
  };
}

/** A length over so many half links as elongation in percent. */
function chain(
  value: number | null,
  own: number | null,
  kept: number,
  pitches: number,
): Measured | string {
  const uncertainty = own === null ? kept : (own / (pitches * PITCH_MM)) * 100;
  if (value === null) return { value, uncertainty };
  const percent = elongationPercent(value, pitches);
  if (percent < CREDIBLE_PERCENT[0] || percent > CREDIBLE_PERCENT[1]) {
    return say("why.no-chain");
  }
  return { value: percent, uncertainty };
}

/** The limits; those of a torque in newton metres. */
function ruleOf(ask: Ask): Rule | null {
  const unit = torqueUnit(ask);
  if (!ask.rule || ask.kind !== "torque" || unit === TORQUE_UNIT) return ask.rule ?? null;
  const limits = Object.entries(ask.rule).map(([name, value]) => [
    name,
    typeof value === "number" ? toNewtonMetres(value, unit) : value,
  ]);
  return Object.fromEntries(limits) as Rule;
}

function torqueUnit(ask: Ask): string {
  return ask.unit || TORQUE_UNIT;
}
