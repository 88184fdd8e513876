import { expect, test } from "vitest";
import { doubtOf, type Tool, uncertaintyOf } from "./instrument";

const WRENCH: Tool = {
  unit: "N·m",
  range_min: 2,
  range_max: 14,
  class_pct: 6,
  due_on: "2026-03-02",
};

test.each([
  [2, "N·m", undefined],
  [14, "N·m", undefined],
  [14.1, "N·m", "out-of-reach"],
  [1.9, "N·m", "out-of-reach"],
  // 100 lbf·in are 11.3 N·m, 130 are 14.7 N·m.
  [100, "lbf·in", undefined],
  [130, "lbf·in", "out-of-reach"],
])("a wrench from 2 to 14 N·m at %d %s: %s", (value, unit, doubt) => {
  expect(doubtOf(WRENCH, value, unit, "2026-03-02")).toBe(doubt);
});

test("below a fifth of its highest mark nothing is known of a wrench (ISO 6789: lowest test point)", () => {
  const wrench = { ...WRENCH, range_min: null };

  expect(doubtOf(wrench, 2.7, "N·m", "2026-01-01")).toBe("out-of-reach");
  expect(doubtOf(wrench, 2.8, "N·m", "2026-01-01")).toBeUndefined();
});

test("it is trusted on its last day, not on the next, and not when it was used too often", () => {
  expect(doubtOf(WRENCH, 5, "N·m", "2026-03-03")).toBe("overdue");
  expect(doubtOf({ ...WRENCH, worn_out: true }, 5, "N·m", "2026-01-01")).toBe("worn-out");
});

test("what was kept before the scale was told says nothing against it", () => {
  const old: Tool = { unit: "N·m", class_pct: 4, due_on: null };

  expect(doubtOf(old, 5000, "N·m", "2026-03-03")).toBeUndefined();
});

test("a gauge reads what lies on its scale, and another unit is not held against it", () => {
  const gauge: Tool = { unit: "bar", range_max: 7, class_pct: null, due_on: null };

  expect(doubtOf(gauge, 8, "bar", "2026-03-03")).toBe("out-of-reach");
  expect(doubtOf(gauge, 80, "psi", "2026-03-03")).toBeUndefined();
});

test.each([
  // GUM 4.3.7: half-width over √3; a step d is half a step either way: d / √12.
  [{ ...WRENCH }, 10, "N·m", (10 * 0.06) / Math.sqrt(3)],
  [{ ...WRENCH, class_pct: null, resolution: 0.5 }, 10, "N·m", 0.5 / Math.sqrt(12)],
  [{ ...WRENCH, resolution: 0.5 }, 10, "N·m", Math.sqrt(0.12 + 0.25 / 12)],
  // 1 N·m is 8.850746 lbf·in (NIST SP 811, from 0.1129848 N·m to the lbf·in).
  [
    { ...WRENCH, class_pct: null, resolution: 0.1 },
    44,
    "lbf·in",
    (0.1 / 0.1129848) * Math.sqrt(1 / 12),
  ],
])("the uncertainty of %j at %d %s", (tool, value, unit, expected) => {
  expect(uncertaintyOf(tool, value, unit)).toBeCloseTo(expected, 6);
});

test("nothing is made up where class and step are not known, or the units do not meet", () => {
  expect(uncertaintyOf({ ...WRENCH, class_pct: null }, 5, "N·m")).toBeUndefined();
  expect(uncertaintyOf({ ...WRENCH, unit: "bar" }, 5, "psi")).toBeUndefined();
});
