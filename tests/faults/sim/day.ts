/* Lives one plan from opening to quiet, and says what was wrong. */
import { checkAll } from "./check";
import { joinShop } from "./joining";
import type { Plan } from "./plan";
import { becomeQuiet } from "./quiet";
import { type Kit, Shift } from "./shift";
import { perform } from "./steps";
import { EVER } from "./world";

export type Outcome = {
  seed: string;
  wrong: string[];
  hash: string;
  phones: number;
  counts: Record<string, number>;
  lines: string[];
};

export async function live(plan: Plan, kit: Kit, keepTrace: boolean): Promise<Outcome> {
  const shift = new Shift(plan, kit, keepTrace);
  const stray = (error: unknown) =>
    shift.fail(`nobody caught: ${error instanceof Error ? (error.stack ?? error) : error}`);
  process.on("unhandledRejection", stray);
  try {
    await through(shift, plan);
  } catch (error) {
    stray(error);
  } finally {
    process.off("unhandledRejection", stray);
  }
  return {
    seed: plan.seed,
    wrong: shift.wrong,
    hash: shift.world.digest(),
    phones: shift.phones.length,
    counts: Object.fromEntries(shift.world.counts),
    lines: shift.world.lines ?? [],
  };
}

async function through(shift: Shift, plan: Plan): Promise<void> {
  shift.open();
  for (const phone of shift.phones) {
    shift.world.after(shift.random.between(0, 3_000), EVER, () => {
      joinShop(shift, phone).catch(() => undefined);
    });
  }
  for (const step of plan.steps)
    shift.world.after(5_000 + step.at, EVER, () => perform(shift, step));
  shift.server.deadly = plan.deadly;
  await shift.world.run(shift.world.now + 5_000 + plan.lengthMs);
  await becomeQuiet(shift);
  if (shift.wrong.length === 0) await checkAll(shift);
}
