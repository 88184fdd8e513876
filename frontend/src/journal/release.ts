/**
 * What stands against letting the bike go?
 * Answers with every reason at once, each with a sentence that says what to do. See also
 * shopfloor/journal/release.py: both are held together by fixtures/cases/journal/release.json.
 */
import { checkPlace, isOfStep } from "./places";
import { doersOf, isCovered, isSettled, type Progress, progress, safetyEntries } from "./progress";
import type { Step } from "./route";
import type { Standing } from "./standing";
import type { JobState } from "./state";

/** Numbers of entries a device has used and the server has not seen. */
export type Missing = { device: string; device_name: string; ns: number[] };

export type Refusal = { code: string; message: string; step: string | null };

export type ReleaseOptions = {
  /** not-to-ride: the owner was warned and takes the bike unridden. */
  mode?: "safe" | "not-to-ride";
  /** What was told to the owner; checked when it is given. */
  reason?: string | null;
};

// What an owner who takes the bike unridden may leave undone; never what is unknown or unasked.
const WAIVED: ReadonlySet<string> = new Set(["safety-open", "second-check", "unsafe", "parts"]);
// Two promises, or two openings, say nothing about whether the bike is safe.
const WORK_PLACE = /^(tick|ask|check|offer|answer):/;

/**
 * Every refusal, in the order in which a person would deal with them; empty: let it go. The route
 * holds the added work, see fullRoute.
 */
export function releaseRefusals(
  route: readonly Step[],
  state: JobState,
  missing: readonly Missing[],
  { mode = "safe", reason = null }: ReleaseOptions = {},
): Refusal[] {
  const closed = closedRefusals(state);
  if (closed.length > 0) return closed;
  const where = progress(route, state);
  const refusals = [
    ...notOpened(state),
    ...missingEntries(missing),
    ...conflicts(route, state),
    ...asking(state),
    ...safetyOpen(route, where),
    ...secondCheck(route, state, where),
    ...unsafe(where.standing),
    ...parts(state),
  ];
  if (mode !== "not-to-ride") return refusals;
  return [...refusals.filter((one) => !WAIVED.has(one.code)), ...reasonRefusals(reason)];
}

function refusal(code: string, message: string, step: string | null = null): Refusal {
  return { code, message, step };
}

function closedRefusals(state: JobState): Refusal[] {
  if (state.cancelled) return [refusal("already", "This job was cancelled.")];
  if (state.collected) return [refusal("already", "The bike has been collected already.")];
  if (state.released) return [refusal("already", "The bike has been released already.")];
  return [];
}

function notOpened(state: JobState): Refusal[] {
  if (state.opened !== null) return [];
  return [refusal("not-opened", "This job was never opened at the desk; open it first.")];
}

function missingEntries(missing: readonly Missing[]): Refusal[] {
  return missing
    .filter((one) => one.ns.length > 0)
    .map((one) =>
      refusal(
        "missing-entries",
        `${one.device_name} has written entries that have not arrived (${ranges(one.ns)}); bring it where it has signal.`,
      ),
    );
}

function conflicts(route: readonly Step[], state: JobState): Refusal[] {
  return state.conflicts
    .filter((place) => WORK_PLACE.test(place))
    .map((place) => conflict(place, route));
}

function conflict(place: string, route: readonly Step[]): Refusal {
  const step = route.find((one) => isOfStep(place, one.key));
  if (step !== undefined) {
    const message = `“${step.title}” has two different values; settle which one holds.`;
    return refusal("conflict", message, step.key);
  }
  if (place.startsWith("offer:") || place.startsWith("answer:")) {
    return refusal("conflict", "Two answers of the customer differ; settle which one holds.");
  }
  return refusal("conflict", `${place} has two different values; settle which one holds.`);
}

function asking(state: JobState): Refusal[] {
  if (state.asking.length === 0) return [];
  return [refusal("asking", "The customer has not answered yet; wait, ring or withdraw.")];
}

function safetyOpen(route: readonly Step[], where: Progress): Refusal[] {
  return route
    .filter((step) => step.kind === "work" && step.safety)
    .filter((step) => !isSettled(where.steps[step.key]?.status))
    .map((step) =>
      refusal("safety-open", `“${step.title}” is a safety step and not done.`, step.key),
    );
}

function secondCheck(route: readonly Step[], state: JobState, where: Progress): Refusal[] {
  const lookedAt = safetyEntries(route, state);
  return route
    .filter((step) => step.kind === "check" && !isSettled(where.steps[step.key]?.status))
    .map((step) => refusal("second-check", secondCheckWords(step, state, lookedAt), step.key));
}

function secondCheckWords(step: Step, state: JobState, lookedAt: readonly string[]): string {
  const heads = state.places[checkPlace(step.key)] ?? [];
  const agreed = heads.filter((head) => head.body.outcome === "agreed");
  const doers = doersOf(step, state);
  if (agreed.length > 0 && agreed.every((head) => doers.has(head.by))) {
    return `“${step.title}” was agreed by somebody who did the work; ask another person.`;
  }
  if (agreed.length > 0 && !heads.some((head) => isCovered(head.body, lookedAt))) {
    return `“${step.title}” was agreed before the work changed; look at it once more.`;
  }
  return `“${step.title}” needs the agreement of a second person.`;
}

function unsafe(standing: readonly Standing[]): Refusal[] {
  return standing
    .filter((one) => one.verdict === "unsafe" || one.safety)
    .map((one) => refusal("unsafe", `${one.label}: ${one.verdict}. ${one.why}`.trim(), one.step));
}

function parts(state: JobState): Refusal[] {
  const titles = new Map(state.findings.map((row) => [row.id, row.body.title ?? "A finding"]));
  return state.parts.map((finding) =>
    refusal("parts", `“${titles.get(finding)}” is agreed and waits for parts.`),
  );
}

function reasonRefusals(reason: string | null): Refusal[] {
  if (reason === null || reason.trim() !== "") return [];
  return [refusal("reason", "Write what the owner was told and why the bike must not be ridden.")];
}

/** 12, 14-16 */
function ranges(numbers: readonly number[]): string {
  const runs: [first: number, last: number][] = [];
  for (const number of [...numbers].sort((left, right) => left - right)) {
    const run = runs.at(-1);
    if (run !== undefined && number === run[1] + 1) run[1] = number;
    else runs.push([number, number]);
  }
  return runs.map(([first, last]) => (first === last ? `${first}` : `${first}-${last}`)).join(", ");
}
