import { expect, test } from "vitest";
import { isTorqueUnit, toNewtonMetres } from "./units";

// Source: units as defined exactly (pound 1959, inch 1959, standard gravity), values by pint 0.25.
test.each([
  [1, "lbf·in", 0.11298482902761668],
  [1, "lbf·ft", 1.35581794833],
  [60, "kgf·cm", 5.88399],
  [5, "N·m", 5],
  [44, "lbf.in", 4.971332477215134],
])("%d %s is %d N·m", (value, unit, expected) => {
  expect(toNewtonMetres(value, unit)).toBeCloseTo(expected, 9);
});

test("an unknown unit is refused, not taken for N·m", () => {
  expect(isTorqueUnit("toString")).toBe(false);
  expect(() => toNewtonMetres(5, "stone")).toThrow(/no unit of torque/);
});
