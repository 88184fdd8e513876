import { beforeEach, expect, test } from "vitest";
import { createWaking, type Waking } from "./waking";

let clock: number;
let asked: number[];
let waking: Waking;

beforeEach(() => {
  clock = Date.UTC(2026, 2, 2);
  asked = [];
  const register = async () => {
    asked.push(clock);
    throw new Error("this browser cannot");
  };
  waking = createWaking({ now: () => new Date(clock), register });
});

test("failures close together ask once, later ones again", () => {
  waking.ask();
  clock += 60_000;
  waking.ask();
  clock += 5 * 60_000;
  waking.ask();

  expect(asked).toHaveLength(2);
});

test("what fails while the browser has woken the worker asks for nothing: the browser comes again", async () => {
  const failing = waking.woken(async () => {
    waking.ask();
    throw new Error("no signal after all");
  });

  await expect(failing).rejects.toThrow("no signal");
  expect(asked).toEqual([]);
  waking.ask();
  expect(asked).toHaveLength(1);
});

test("once the browser came and all went, the next failure asks at once", async () => {
  waking.ask();
  await waking.woken(async () => undefined);
  clock += 1000;
  waking.ask();

  expect(asked).toHaveLength(2);
});

test("a clock that was set back by years does not keep it from asking", () => {
  waking.ask();
  clock -= 3 * 365 * 86_400_000;
  waking.ask();

  expect(asked).toHaveLength(2);
});
