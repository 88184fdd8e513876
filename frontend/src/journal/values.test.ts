import { expect, test } from "vitest";
import cases from "../../../fixtures/cases/journal/values.json";
import { canonicalJson, sameValue } from "./values";

// The source of each text stands beside it in the case file.
test.each(cases as { value: unknown; text: string }[])("$text", ({ value, text }) => {
  expect(canonicalJson(value)).toBe(text);
});

test.each([
  [5, 5.0, true],
  [true, 1, false],
  ["5", 5, false],
  [null, false, false],
  [[1, 2], [2, 1], false],
  [[1], [1, 1], false],
  [{ a: 1, b: 2 }, { b: 2, a: 1 }, true],
  [{ a: null }, {}, false],
  [{ a: [true] }, { a: [1] }, false],
  [[], {}, false],
])("%j and %j are the same: %s", (left, right, same) => {
  expect(sameValue(left, right)).toBe(same);
  expect(sameValue(right, left)).toBe(same);
});
