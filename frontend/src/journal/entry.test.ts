import { describe, expect, test } from "vitest";
import file from "../../../fixtures/cases/journal/entries.json";
import { isMalformedEntry, parseEntry, toWire } from "./entry";
import { instantMs } from "./instants";
import type { JsonObject } from "./values";

type Case = { name: string; raw: JsonObject; code: string | null };

const CASES = file as unknown as Case[];
const GOOD = CASES[0]?.raw ?? {};

function refusalOf(raw: unknown): { code: string; message: string } | null {
  try {
    parseEntry(raw);
    return null;
  } catch (error) {
    if (isMalformedEntry(error)) return { code: error.code, message: error.message };
    throw error;
  }
}

describe("cases", () => {
  test.each(CASES)("$name", ({ raw, code }) => {
    const refusal = refusalOf(raw);

    expect(refusal?.code ?? null).toBe(code);
    if (refusal !== null) expect(refusal.message).toMatch(/\.$/);
  });
});

test("an entry travels as it came", () => {
  expect(toWire(parseEntry({ ...GOOD, mood: "good" }))).toEqual(GOOD);
});

test("a body of 32 kB is taken and a byte more is not", () => {
  const room = 32_768 - '{"text":""}'.length;

  expect(refusalOf({ ...GOOD, body: { text: "é".repeat(room / 2) } })).toBeNull();
  expect(refusalOf({ ...GOOD, body: { text: "x".repeat(room + 1) } })?.code).toBe("body-too-large");
});

test.each(["1e999", "-1e999", "1".repeat(400)])("the number %s is refused", (text) => {
  const raw = { ...GOOD, body: JSON.parse(`{"x": ${text}}`) };

  expect(refusalOf(raw)?.code).toBe("bad-number");
});

test("what is not JSON is refused", () => {
  for (const value of [undefined, 5n, Symbol("x"), () => 1]) {
    expect(refusalOf({ ...GOOD, body: { x: value } })?.code).toBe("bad-body");
  }
});

// Checked with `date -u -d 2026-03-02T10:15:04Z +%s` of GNU coreutils.
test.each([
  ["1970-01-01T00:00:00Z", 0],
  ["1970-01-01T01:00:00+01:00", 0],
  ["2026-03-02T10:15:04.123Z", 1_772_446_504_123],
  ["2026-03-02T10:15:04.1239Z", 1_772_446_504_123],
  ["2026-03-02T10:15:04.1Z", 1_772_446_504_100],
  ["2026-03-02T04:30:04-05:45", 1_772_446_504_000],
  ["not a time", null],
  [null, null],
])("%s is %s ms", (text, expected) => {
  expect(instantMs(text)).toBe(expected);
});
