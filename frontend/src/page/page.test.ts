import { expect, test } from "vitest";
import { press } from "./pad-keys";
import { sizeWithin } from "./photo-size";

test.each([
  ["", "5", "5"],
  ["5", ".", "5."],
  ["5.", ".", "5."],
  ["5,", ".", "5,"],
  ["", ".", "0."],
  ["0", "5", "5"],
  ["0.", "5", "0.5"],
  ["5.5", "back", "5."],
  ["5.5", "clear", ""],
  ["12345678", "9", "12345678"],
])("the pad makes of “%s” and %s “%s”", (current, key, next) => {
  expect(press(current, key)).toBe(next);
});

test.each([
  [4000, 3000, { width: 1600, height: 1200 }],
  [3000, 4000, { width: 1200, height: 1600 }],
  [800, 600, { width: 800, height: 600 }],
])("a photo of %i by %i is kept at most 1600 long", (width, height, size) => {
  expect(sizeWithin(width, height)).toEqual(size);
});
