/* What the list of jobs needs to know of one job. Pure. */
import type { OpenedJob } from "./opened";
import type { Summary } from "./schema";

export function summarise({ state, route, where }: OpenedJob): Summary {
  return {
    place: state.place,
    done: where.steps_done,
    total: where.steps_total,
    next: route.find((step) => step.key === where.next_step)?.title ?? "",
    conflicts: state.conflicts.length,
    handsOn: [...new Set(state.hands.map((each) => each.by))],
    readyAt: state.ready_at,
  };
}
