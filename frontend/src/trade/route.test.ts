import fc from "fast-check";
import { expect, test } from "vitest";
import cases from "../../../fixtures/cases/route.json";
import { merge, type Placed, STAGES } from "./route";

type Case = { name: string; route: Placed[]; added: Placed[]; order: string[] };

const CASES = cases as Case[];

test.each(CASES)("$name", ({ route, added, order }) => {
  expect(merge(route, added).map((step) => step.key)).toEqual(order);
});

const NAMES = ["measure", "strip", "hubs", "true", "tyres", "in", "torque", "check", "release"];
const OWN = ["a0", "a1", "a2", "a3", "a4"];
const anyName = fc.constantFrom(...NAMES, ...OWN, "nowhere");
const anyAdded = fc.uniqueArray(
  fc.record({
    key: fc.constantFrom(...OWN),
    stage: fc.constantFrom(...STAGES, "polish"),
    title: fc.constant("…"),
    after: fc.array(fc.record({ key: anyName, because: fc.constant("…") }), { maxLength: 3 }),
    before: fc.array(anyName, { maxLength: 3 }),
  }),
  { selector: (step) => step.key },
);

test("the order in which work was agreed makes no difference", () => {
  const route = CASES[0]?.route ?? [];

  fc.assert(
    fc.property(anyAdded, (added) => {
      const forwards = merge(route, added);

      expect(merge(route, [...added].reverse())).toEqual(forwards);
      expect(forwards).toHaveLength(route.length + added.length);
    }),
  );
});
