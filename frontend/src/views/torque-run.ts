/* Every fastener of a job in bike order: which is next, which was before, and what is still open of each. Pure. */
import type { AskView, JobView, StepView } from "./job-model";

/** One fastener: how tight it was found, and what it is left at. */
export type Fastener = { view: StepView; item: string; label: string; asks: AskView[] };
export type TorqueAsk = { view: StepView; ask: AskView };

export function fastenersOf(job: JobView): Fastener[] {
  return job.steps.flatMap((view) => {
    const asks = view.asks.filter((each) => each.ask.kind === "torque");
    const items = [...new Set(asks.map((each) => each.item))];
    return items.map((item) => {
      const own = asks.filter((each) => each.item === item);
      return { view, item, label: own[0]?.ask.label ?? item, asks: own };
    });
  });
}

export function isDone({ asks }: Fastener): boolean {
  return asks.every((ask) => !ask.required || ask.settled);
}

/** How many of those that must be recorded are recorded. */
export function countDone(all: Fastener[]): { done: number; total: number } {
  const asked = all.filter(({ asks }) => asks.some((ask) => ask.required));
  return { done: asked.filter(isDone).length, total: asked.length };
}

/** Where the run comes to on a fastener: what is open, or else what it is left at. */
export function entryOf({ view, asks }: Fastener): TorqueAsk | undefined {
  const ask = asks.find((each) => each.required && !each.settled) ?? asks.at(-1);
  return ask && { view, ask };
}

/** The next that is open, from here to the end and then from the beginning. */
export function nextFastener(all: Fastener[], from?: Fastener): Fastener | undefined {
  const at = from ? placeOf(all, from.view.step.key, from.item) : -1;
  return [...all.slice(at + 1), ...all.slice(0, at + 1)].find((each) => !isDone(each));
}

export function placeOf(all: Fastener[], step: string, item: string): number {
  return all.findIndex((each) => each.view.step.key === step && each.item === item);
}

/** Nobody has said yet how tight it was found; after turning it, nobody can. */
export function canBeFoundLoose({ asks }: Fastener): boolean {
  const found = asks.find(({ phase }) => phase === "found");
  const left = asks.find(({ phase }) => phase === "left");
  return found?.heads.length === 0 && !left?.heads.length;
}
