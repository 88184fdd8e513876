/* Makes a plan that goes wrong shorter, as long as it still goes wrong. */
import { live } from "./day";
import type { Plan, Step } from "./plan";
import type { Kit } from "./shift";

const MOST_RUNS = 250;

/** What is wrong, without the names and numbers of this run: another fault must not take its place. */
function sortOf(wrong: string[]): string {
  return (wrong[0] ?? "").replace(/[0-9a-f]{6,}|\d+/g, "").slice(0, 30);
}

/** Leaves out halves, then quarters, and so on down to single steps. */
export async function shrink(plan: Plan, kit: Kit, wrong: string[]): Promise<Plan> {
  const wanted = sortOf(wrong);
  let steps = plan.steps;
  let runs = 0;
  const fails = async (fewer: Step[]) => {
    runs += 1;
    return sortOf((await live({ ...plan, steps: fewer }, kit, false)).wrong) === wanted;
  };
  for (let size = Math.ceil(steps.length / 2); size >= 1; size = Math.floor(size / 2)) {
    for (let at = 0; at < steps.length && runs < MOST_RUNS; ) {
      const fewer = [...steps.slice(0, at), ...steps.slice(at + size)];
      if (await fails(fewer)) steps = fewer;
      else at += size;
    }
  }
  return { ...plan, steps };
}
