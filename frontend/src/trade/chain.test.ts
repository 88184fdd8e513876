import { expect, test } from "vitest";
import { elongationPercent } from "./chain";

test.each([
  // Source: definition of the half-inch pitch, ISO 9633.
  [306.4, 24, 0.5249343832],
  [304.8, 24, 0],
  // Source: Sheldon Brown, Chain Maintenance: 1/16 and 1/8 of an inch past 12 inches.
  [304.8 + 25.4 / 16, 24, 0.5208333333],
  [304.8 + 25.4 / 8, 24, 1.0416666667],
])("%d mm over %d half links is %d %% longer than new", (length, pitches, expected) => {
  expect(elongationPercent(length, pitches)).toBeCloseTo(expected, 8);
});
