/* What the list of jobs needs to know of one job. Pure. */
import { openStints } from "../journal/hands";
import type { OpenedJob } from "./opened";
import type { Summary } from "./schema";

export function summarise({ entries, state, route, where }: OpenedJob): Summary {
  return {
    place: state.place,
    done: where.steps_done,
    total: where.steps_total,
    next: route.find((step) => step.key === where.next_step)?.title ?? "",
    conflicts: state.conflicts.length,
    hands: openStints(entries, state.hands),
    readyAt: state.ready_at,
  };
}
