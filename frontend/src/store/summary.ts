/* What the list of jobs needs to know of one job, folded from its entries. Pure. */
import type { Entry } from "../journal/entry";
import { fold } from "../journal/fold";
import { fullRoute, progress } from "../journal/progress";
import type { JobHeader, Summary } from "./schema";

export function summarise(header: JobHeader, entries: Entry[]): Summary {
  const state = fold(entries);
  const route = fullRoute(header.route, state);
  const where = progress(route, state);
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
