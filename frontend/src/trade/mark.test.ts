import { describe, expect, test } from "vitest";
import cases from "../../../fixtures/cases/mark.json";
import { withMark } from "./mark";
import type { Rule } from "./verdict";

describe("the mark on the part comes first", () => {
  test.each(cases)("$name", ({ rule, mark, expected }) => {
    const found = withMark(rule as Rule | null, mark);

    if (expected === null) return expect(found).toBeNull();
    expect(found?.type).toBe(expected.type);
    for (const [name, value] of Object.entries(expected)) {
      const got = (found as unknown as Record<string, unknown>)[name];
      if (typeof value === "number") expect(got).toBeCloseTo(value, 9);
      else expect(got).toBe(value);
    }
  });
});
