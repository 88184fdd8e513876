import { expect, test } from "vitest";
import cases from "../../../fixtures/cases/verdict.json";
import { type JudgeOptions, judge, type Rule } from "./verdict";

type Case = JudgeOptions & {
  name: string;
  rule: Rule | null;
  value: number | null;
  verdict: string;
  why?: string;
};

test.each(cases as Case[])("$name", (given) => {
  const judgement = judge(given.rule, given.value, given);

  expect(judgement.verdict).toBe(given.verdict);
  if (given.why !== undefined) expect(judgement.why).toBe(given.why);
});
