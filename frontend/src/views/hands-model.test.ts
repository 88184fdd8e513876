import { expect, test } from "vitest";
import { closingAfter, timeAfter } from "./hands-model";

const LONDON = "Europe/London";
const clock = (now: string) => ({ now: new Date(now), timezone: LONDON });

test.each([
  ["09:10", "2026-03-02T09:10:00.000Z"],
  ["17:40", "2026-03-02T17:40:00.000Z"],
  ["9:05", "2026-03-02T09:05:00.000Z"],
  ["00:30", "2026-03-03T00:30:00.000Z"],
  ["08:59", "2026-03-03T08:59:00.000Z"],
  ["24:00", undefined],
  ["9.10", undefined],
  ["", undefined],
])("hands on at 09:00, stopped at “%s”", (time, at) => {
  const end = timeAfter("2026-03-02T09:00:00Z", time, clock("2026-03-03T09:30:00Z"));

  expect(end?.toISOString()).toBe(at);
});

test("a time that has not come yet is none", () => {
  expect(timeAfter("2026-03-02T09:00:00Z", "17:40", clock("2026-03-02T12:00:00Z"))).toBeNull();
});

test("the minute in which the hands went on is not before them", () => {
  const since = "2026-03-02T09:10:42.000Z";

  expect(timeAfter(since, "09:10", clock("2026-03-02T12:00:00Z"))?.toISOString()).toBe(since);
});

test("a night with a clock change keeps the time on the wall", () => {
  const end = timeAfter("2026-03-28T22:00:00Z", "08:00", clock("2026-03-29T12:00:00Z"));

  expect(end?.toISOString()).toBe("2026-03-29T07:00:00.000Z");
});

test.each([
  ["2026-03-02T10:00:00Z", "2026-03-02T17:30:00.000Z"],
  ["2026-03-02T17:30:00Z", null],
  ["2026-03-03T20:00:00Z", "2026-03-04T01:00:00.000Z"],
  ["2026-03-04T10:00:00Z", null],
  ["2026-07-06T10:00:00Z", "2026-07-06T16:30:00.000Z"],
])("work seen at %s: the shop closes at %s", (seen, closes) => {
  const hours = {
    mon: [
      ["09:00", "12:30"],
      ["13:00", "17:30"],
    ],
    tue: [["18:00", "01:00"]],
  };
  const at = closingAfter(seen, hours, LONDON);

  expect(at === null ? null : new Date(at).toISOString()).toBe(closes);
});
