/* Makes a plan that goes wrong shorter, as long as it still goes wrong. */
import { live } from "./day";
import type { Plan, Step } from "./plan";
import type { Kit } from "./shift";

const MOST_RUNS = 250;

/** Leaves out halves, then quarters, and so on down to single steps. */
export async function shrink(plan: Plan, kit: Kit): Promise<Plan> {
  let steps = plan.steps;
  let runs = 0;
  const fails = async (fewer: Step[]) => {
    runs += 1;
    return (await live({ ...plan, steps: fewer }, kit, false)).wrong.length > 0;
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
