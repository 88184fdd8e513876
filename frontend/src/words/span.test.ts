import { expect, test } from "vitest";
import { say } from "./bench";
import { say as sayOnPage } from "./page";
import { spanSince } from "./span";

test.each([
  ["2026-03-02T09:00:00Z", "0 min"],
  ["2026-03-02T08:18:30Z", "41 min"],
  ["2026-03-02T08:00:00Z", "1 h 00"],
  ["2026-03-01T22:55:00Z", "10 h 05"],
  ["2026-03-02T09:05:00Z", "0 min"],
])("since %s it is %s, for the worker and for the page", (since, span) => {
  const now = Date.parse("2026-03-02T09:00:00Z");

  const { key, values } = spanSince(since, now);
  expect(say(`span.${key}`, values)).toBe(span);
  expect(sayOnPage(`span.${key}`, values)).toBe(span);
});
