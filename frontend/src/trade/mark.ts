/**
 * Which limits hold for a part that carries its own mark? The mark comes before any table.
 * See also shopfloor/trade/mark.py: both are held together by fixtures/cases/mark.json.
 */
import type { Rule } from "./verdict";

/** What is marked on the part, in the unit of the rule; either may be missing. */
export type Mark = { min?: number | null; max?: number | null };

// A part marked with one torque is set to it or a little below; common practice, no source.
const BELOW_A_SINGLE_MARK = 0.8;

/** The rule of the table, or the limits marked on the part in its place. */
export function withMark(rule: Rule | null, mark: Mark | null | undefined): Rule | null {
  const low = mark?.min ?? null;
  const high = mark?.max ?? null;
  if (low === null && high === null) return rule;
  if (rule === null || rule.type === "band") return band(low, high);
  const limit = rule.type === "minimum" ? low : high;
  if (limit === null) return rule;
  const watch = rule.watch ?? null;
  const useful = watch !== null && (rule.type === "minimum" ? watch > limit : watch < limit);
  return { type: rule.type, renew: limit, watch: useful ? watch : null };
}

function band(low: number | null, high: number | null): Rule {
  const max = high ?? low ?? 0;
  return { type: "band", min: low ?? max * BELOW_A_SINGLE_MARK, max };
}
