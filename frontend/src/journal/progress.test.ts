import { expect, test } from "vitest";
import file from "../../../fixtures/cases/journal/progress.json";
import { parseEntry } from "./entry";
import { fold } from "./fold";
import { fullRoute, progress } from "./progress";
import type { Step } from "./route";
import type { JsonObject } from "./values";

type Case = { name: string; route: Step[]; entries: unknown[]; expected: JsonObject };

const CASES = file as unknown as Case[];
const BY_KEY = new Set(["early", "again", "verdicts", "settled"]);

/** Progress in the words of the cases. */
function shown(given: Case): JsonObject {
  const state = fold(given.entries.map(parseEntry));
  const route = fullRoute(given.route, state);
  const found = progress(route, state);
  const steps = Object.entries(found.steps);
  const asks = steps.flatMap(([, step]) => step.asks);
  return {
    ...found,
    order: route.map((step) => step.key),
    status: Object.fromEntries(steps.map(([key, step]) => [key, step.status])),
    early: Object.fromEntries(steps.map(([key, step]) => [key, step.early])),
    again: Object.fromEntries(steps.map(([key, step]) => [key, step.again])),
    verdicts: Object.fromEntries(asks.map((ask) => [ask.place, ask.verdict])),
    settled: Object.fromEntries(asks.map((ask) => [ask.place, ask.settled])),
    standing: found.standing.map((one) => [one.step, one.item, one.phase, one.verdict, one.safety]),
  };
}

// A case names what it is about: whole values, or single keys of what is told by key.
test.each(CASES)("$name", (given) => {
  const found = shown(given);

  expect(Object.keys(given.expected)).not.toHaveLength(0);
  for (const [name, expected] of Object.entries(given.expected)) {
    if (BY_KEY.has(name)) expect(found[name], name).toMatchObject(expected as JsonObject);
    else expect(found[name], name).toEqual(expected);
  }
});
