/**
 * Which verdicts against a part still stand?
 * What was found worn stands until the part was left sound; a later step may clear it by name.
 * See also shopfloor/journal/standing.py.
 */
import type { Verdict } from "../trade/verdict";
import type { AskProgress } from "./asks";
import type { Ask, Phase, Step } from "./route";

/** A verdict against a part; `safety` when a wrong value here can hurt the rider. */
export type Standing = {
  step: string;
  item: string;
  phase: Phase;
  label: string;
  verdict: Verdict;
  why: string;
  safety: boolean;
};

type Told = { step: string; ask: Ask; answer: AskProgress };

const AGAINST: ReadonlySet<string> = new Set(["unsafe", "renew", "measure again"]);

/**
 * The verdicts that stand, in working order. The verdict on what was left takes the place of the
 * one on what was found. A good one that is stale does neither; a bad one stands until the part is
 * told of again.
 */
export function listStanding(
  route: readonly Step[],
  answers: ReadonlyMap<string, readonly AskProgress[]>,
): Standing[] {
  const told = route.flatMap((step) => tell(step, answers.get(step.key) ?? []));
  const left = told.filter((one) => one.answer.phase === "left" && counts(one.answer));
  const cleared = new Set(left.filter(isGood).flatMap(partsOf));
  const measured = new Set(left.map((one) => part(one.step, one.ask.item)));
  return told
    .filter((one) => {
      const name = part(one.step, one.ask.item);
      return (
        AGAINST.has(one.answer.verdict) &&
        !cleared.has(name) &&
        (one.answer.phase === "left" || !measured.has(name))
      );
    })
    .map(standing);
}

function tell(step: Step, answers: readonly AskProgress[]): Told[] {
  return answers.flatMap((answer) => {
    const ask = step.asks.findLast((one) => one.item === answer.item);
    return ask === undefined ? [] : [{ step: step.key, ask, answer }];
  });
}

function counts({ verdict, stale }: AskProgress): boolean {
  return verdict !== "" && (!stale || AGAINST.has(verdict));
}

function isGood({ answer }: Told): boolean {
  return answer.settled && (answer.verdict === "sound" || answer.verdict === "watch");
}

/** The part itself, and the one of another step that it says it clears. */
function partsOf({ step, ask }: Told): string[] {
  const own = part(step, ask.item);
  return ask.clears ? [own, part(ask.clears.step, ask.clears.item)] : [own];
}

function part(step: string, item: string): string {
  return `${step}:${item}`;
}

function standing({ step, ask, answer }: Told): Standing {
  return {
    step,
    item: ask.item,
    phase: answer.phase,
    label: ask.label,
    verdict: answer.verdict as Verdict,
    why: answer.why,
    safety: ask.safety === true,
  };
}
