/**
 * Which steps does a service of this bike have, in which order, and what does each ask for?
 * See also shopfloor/trade/route.py: the same catalogue gives the same steps to the letter, which
 * fixtures/cases/compose.json holds both to.
 */
import type { Catalogue, Fastener, FilledAsk, Minutes, StepRow, Traits, When } from "./catalogue";
import { inOrder, type Reason } from "./route";
import { fillDefaults, matches } from "./traits";

export type ComposedStep = Pick<
  StepRow,
  "key" | "stage" | "title" | "how" | "why" | "kind" | "minutes" | "compound" | "bath"
> &
  Pick<StepRow, "safety" | "source" | "source_kind"> & {
    after: Reason[];
    points: string[];
    cautions: string[];
    checks: string[];
    asks: FilledAsk[];
  };

/** The service is not one the workshop offers. */
export class UnknownService extends Error {
  override name = "UnknownService";
}

/** Throws UnknownService, UnknownTrait. */
export function compose(catalogue: Catalogue, traits: Traits, service: string): ComposedStep[] {
  const tiers = catalogue.services.map(({ key }) => key);
  const heaviest = tiers.indexOf(service);
  if (heaviest < 0) throw new UnknownService(`Use one of ${tiers.join(", ")}.`);
  const full = fillDefaults(catalogue, traits);
  const onBike = catalogue.steps.filter((row) => matches(row.when, full));
  const included = onBike.filter((row) => tiers.indexOf(row.tier) <= heaviest);
  const kept = new Set(included.map(({ key }) => key));
  const reasons = reasonsOf(onBike, kept);
  const steps = included.map((row) => ({
    ...fillStep(row, full, kept, catalogue.by_kind),
    after: reasons.get(row.key) ?? [],
  }));
  return inOrder(steps, steps.length);
}

type Rows = ReadonlyMap<string, StepRow>;
type Found = { pair: readonly [before: string, after: string]; because: string };

/**
 * Why each kept step waits for others, through the steps that are left out. A pair that only came about
 * by leaving steps out is dropped where others imply it: its reason would speak of work nobody does.
 */
function reasonsOf(onBike: readonly StepRow[], kept: ReadonlySet<string>): Map<string, Reason[]> {
  const rows: Rows = new Map(onBike.map((row) => [row.key, row]));
  const direct: Found[] = [];
  const handedOn: Found[] = [];
  for (const key of kept) lookBack(rows, kept, key, direct, handedOn);
  const isImplied = implications([...direct, ...handedOn].map(({ pair }) => pair));
  const reasons = new Map<string, Reason[]>();
  for (const { pair, because } of [
    ...direct,
    ...handedOn.filter((each) => !isImplied(each.pair)),
  ]) {
    const [before, after] = pair;
    reasons.set(after, [...(reasons.get(after) ?? []), { key: before, because }]);
  }
  return reasons;
}

function lookBack(
  rows: Rows,
  kept: ReadonlySet<string>,
  key: string,
  direct: Found[],
  handedOn: Found[],
): void {
  const seen = new Set<string>();
  const waiting = (rows.get(key)?.after ?? []).map((reason) => ({ reason, found: direct }));
  for (const { reason, found } of waiting) {
    const row = rows.get(reason.key);
    if (!row || seen.has(row.key)) continue;
    seen.add(row.key);
    if (kept.has(row.key)) found.push({ pair: [row.key, key], because: reason.because });
    else waiting.push(...row.after.map((each) => ({ reason: each, found: handedOn })));
  }
}

/** Tells of a pair whether it already follows from the others. */
function implications(pairs: readonly Found["pair"][]): (pair: Found["pair"]) => boolean {
  const followers = new Map<string, Set<string>>();
  for (const [before, after] of pairs)
    followers.set(before, (followers.get(before) ?? new Set()).add(after));
  const of = (name: string) => [...(followers.get(name) ?? [])];
  return ([before, after]) => {
    const reached = new Set(
      of(before)
        .filter((name) => name !== after)
        .flatMap(of),
    );
    for (const name of reached) for (const next of of(name)) reached.add(next);
    return reached.has(after);
  };
}

function fillStep(
  row: StepRow,
  traits: Traits,
  kept: ReadonlySet<string>,
  byKind: string,
): ComposedStep {
  const fitting = row.variants.filter((variant) => matches(variant.when, traits));
  const {
    tier: _,
    when: __,
    variants: ___,
    torques,
    ...told
  }: StepRow = Object.assign({}, row, ...fitting);
  return {
    ...told,
    after: [],
    points: choose(told.points, traits).map(({ text }) => text),
    cautions: choose(told.cautions, traits).map(({ text }) => text),
    checks: told.checks.filter((key) => kept.has(key)),
    asks: [
      ...choose(told.asks, traits).map(({ ask }) => ask),
      ...torques.flatMap((fastener) => torqueAsk(fastener, traits, byKind)),
    ],
  };
}

function choose<T extends { when: When }>(all: readonly T[], traits: Traits): T[] {
  return all.filter(({ when }) => matches(when, traits));
}

/**
 * The torque of one fastener of this bike. Where several kinds fit and nothing says which this bike
 * has, no limit is given: the mark decides, and the note lists what is usual for each.
 */
function torqueAsk(fastener: Fastener, traits: Traits, byKind: string): FilledAsk[] {
  const kinds = choose(fastener.kinds, traits);
  const [first] = kinds;
  if (!first) return [];
  const { ask, carbon } = first;
  if (kinds.length > 1) {
    const ends = kinds.map((kind) => (kind.ask.scale as number[])[1] as number);
    const note = byKind.replace("{kinds}", kinds.map(({ words }) => words).join("; "));
    return [{ ...ask, rule: null, scale: [0, Math.max(...ends)], note }];
  }
  if (!traits.carbon) return [ask];
  return [{ ...ask, note: [ask.note, carbon].filter(Boolean).join(" ") }];
}

/** Of all steps together. */
export function minutesOf(route: readonly { minutes: Minutes }[]): Minutes {
  const total = { low: 0, typical: 0, high: 0 };
  for (const { minutes } of route) {
    total.low += minutes.low;
    total.typical += minutes.typical;
    total.high += minutes.high;
  }
  return total;
}
