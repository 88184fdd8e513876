import { expect, test } from "vitest";
import { redact } from "./bodies";
import { BENCH_KINDS, DESK_KINDS } from "./entry";
import { isOfAny, isOfStep, placeOf } from "./places";
import { SHAPES } from "./shapes";

const ID = "019c0000-0000-7000-8000-000000000001";
const ASK = { step: "measure_brakes", item: "front-pad", phase: "found" };

test.each([
  ["tick", { step: "wash", outcome: "done" }, "tick:wash"],
  ["choice", { ...ASK, value: "smooth" }, "ask:measure_brakes:front-pad:found"],
  ["reading", { ...ASK, value: 1, unit: "mm" }, "ask:measure_brakes:front-pad:found"],
  ["hands-off", { on: ID.toUpperCase() }, `hands:${ID}`],
  ["check", { step: "second_look", outcome: "agreed" }, "check:second_look"],
  ["asked", { offer: ID, version: 2, findings: [] }, `offer:${ID}`],
  ["answer", { offer: ID, version: 2.0, lines: [] }, `answer:${ID}:2`],
  ["parts-in", { finding: ID }, `parts:${ID}`],
  ["promise", { ready_at: "2026-03-02T10:15:04Z" }, "promise"],
  ["released", { mode: "safe" }, "released"],
  ["collected", {}, "collected"],
  ["cancelled", { reason: "Sold." }, "cancelled"],
  ["note", { text: "Hello." }, null],
  ["void", { reason: "Wrong bike." }, null],
  ["redacted", { entry: ID }, null],
  ["wheel-scan", { step: "wash" }, null],
  ["constructor", {}, null],
  ["tick", { step: "wash" }, null],
  ["tick", { step: "wash", outcome: "done", reason: undefined }, "tick:wash"],
  ["reading", { ...ASK, value: "1", unit: "mm" }, null],
])("%s %j speaks of %s", (kind, body, place) => {
  expect(placeOf(kind, body)).toBe(place);
});

test("every kind has a shape, and each kind is of the bench or of the desk", () => {
  expect(new Set(SHAPES.keys())).toEqual(new Set([...BENCH_KINDS, ...DESK_KINDS]));
  expect(SHAPES.size).toBe(BENCH_KINDS.size + DESK_KINDS.size);
});

test("redacting twice changes nothing more", () => {
  for (const kind of [...SHAPES.keys(), "wheel-scan"]) {
    const once = redact(kind, { ...ASK, text: "Her number", reason: "hers", value: 1 });

    expect(redact(kind, once)).toEqual(once);
    expect(once).not.toHaveProperty("text");
    expect(once).not.toHaveProperty("reason");
  }
});

test("a place belongs to one step only", () => {
  expect(isOfStep("ask:true:rim:left", "true")).toBe(true);
  expect(isOfStep("tick:true", "true")).toBe(true);
  expect(isOfStep("ask:true_front:rim:left", "true")).toBe(false);
  expect(isOfStep("tick:true_front", "true")).toBe(false);
  expect(isOfStep("parts:true", "true")).toBe(false);
});

test.each([
  "ask:true:rim:left",
  "ask:true",
  "ask:true:",
  "ask:with:colon:rim:left",
  "tick:true",
  "tick:with:colon",
  "check:true",
  "check:true:more",
  "parts:true",
  "opened",
])("%s is of any of some steps when it is of one of them", (place) => {
  for (const keys of [["true"], ["with:colon"], ["with"], ["other", "true"], []]) {
    expect(isOfAny(place, new Set(keys))).toBe(keys.some((key) => isOfStep(place, key)));
  }
});
