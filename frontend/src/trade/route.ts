/**
 * Puts the steps of later work into a route where they belong, in working order.
 * See also shopfloor/trade/route.py: both are held together by fixtures/cases/route.json.
 */

export type Reason = { key: string; because: string };

/** As much of a step as its place in the route depends on. */
export type Placed = {
  key: string;
  stage: string;
  title: string;
  after: readonly Reason[];
  before?: readonly string[];
};

type Rank = readonly [stage: number, place: number, key: string];

export const STAGES = [
  "intake",
  "measure",
  "strip",
  "clean",
  "inspect",
  "bearings",
  "wheels",
  "assemble",
  "drive",
  "brakes",
  "shift",
  "final",
  "handover",
] as const;

/**
 * The order in which the work was added makes no difference. Names that are not on the route are
 * ignored, and where steps wait for each other the order of the stages decides: it never throws.
 */
export function merge<S extends Placed>(route: readonly S[], added: readonly S[]): S[] {
  const steps = new Map(route.map((step) => [step.key, step]));
  const known = steps.size;
  for (const step of [...added].sort(byIdentity)) {
    if (!steps.has(step.key)) steps.set(step.key, step);
  }
  return inOrder([...steps.values()], known);
}

/** By stage, then as composed, then what was added; pairs come before all of these. */
export function inOrder<S extends Placed>(steps: readonly S[], known: number): S[] {
  const ranks = new Map<string, Rank>(
    steps.map((step, index) => [step.key, [stageOf(step), Math.min(index, known), step.key]]),
  );
  const { followers, waiting } = wiring(ranks, steps);
  const left = new Map(
    [...steps]
      .sort((a, b) => compareRanks(ranks.get(a.key), ranks.get(b.key)))
      .map((step) => [step.key, step]),
  );
  const order: S[] = [];
  while (left.size > 0) {
    const key = next(left, waiting);
    order.push(left.get(key) as S);
    left.delete(key);
    for (const follower of followers.get(key) ?? []) {
      waiting.set(follower, (waiting.get(follower) ?? 0) - 1);
    }
  }
  return order;
}

/** The lowest rank that waits for nothing; in a circle of waiting, the lowest rank of all. */
function next(left: ReadonlyMap<string, Placed>, waiting: ReadonlyMap<string, number>): string {
  for (const key of left.keys()) if ((waiting.get(key) ?? 0) <= 0) return key;
  return left.keys().next().value as string;
}

function wiring(ranks: ReadonlyMap<string, Rank>, steps: readonly Placed[]) {
  const followers = new Map<string, string[]>();
  const waiting = new Map<string, number>();
  const seen = new Set<string>();
  for (const [before, after] of pairsOf(steps)) {
    const pair = JSON.stringify([before, after]);
    if (before === after || seen.has(pair) || !ranks.has(before) || !ranks.has(after)) continue;
    seen.add(pair);
    followers.set(before, [...(followers.get(before) ?? []), after]);
    waiting.set(after, (waiting.get(after) ?? 0) + 1);
  }
  return { followers, waiting };
}

function pairsOf(steps: readonly Placed[]): [string, string][] {
  return steps.flatMap((step) => [
    ...step.after.map((reason): [string, string] => [reason.key, step.key]),
    ...(step.before ?? []).map((later): [string, string] => [step.key, later]),
  ]);
}

function stageOf(step: Placed): number {
  const index = (STAGES as readonly string[]).indexOf(step.stage);
  return index >= 0 ? index : STAGES.length - 2;
}

function byIdentity(a: Placed, b: Placed): number {
  return compare(a.key, b.key) || compare(a.stage, b.stage) || compare(a.title, b.title);
}

function compareRanks(a: Rank | undefined, b: Rank | undefined): number {
  if (!a || !b) return 0;
  return a[0] - b[0] || a[1] - b[1] || compare(a[2], b[2]);
}

// Not localeCompare: both languages must agree on the order of every key.
function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
