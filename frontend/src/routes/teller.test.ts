import { v7 } from "uuid";
import { beforeEach, expect, test } from "vitest";
import { appendEntry } from "../store/append";
import { noteSync } from "../store/meta";
import { JOB, MIRA, makeBench, NOW } from "../testing/bench";
import { createTeller, type Teller } from "./teller";

let told: number;
let running: boolean;
let teller: Teller;

beforeEach(async () => {
  await makeBench();
  told = 0;
  running = false;
  teller = createTeller({
    now: () => NOW,
    isRunning: () => running,
    tell: () => {
      told += 1;
    },
  });
});

function write() {
  const facts = { id: v7(), job: JOB, by: MIRA, at: NOW.toISOString(), supersedes: [] };
  return appendEntry({ ...facts, kind: "note", body: { text: "x" } });
}

test("a sync with nothing to send is told once, not at its beginning and its end again", async () => {
  await teller.told();
  for (const now of [true, false, true, false]) {
    running = now;
    await teller.told();
  }

  expect(told).toBe(1);
});

test("what waits, its going and its being gone are each told", async () => {
  await teller.told();
  await write();
  await teller.told();
  running = true;
  await teller.told();
  await noteSync({ problem: "offline", message: "", since: NOW.toISOString() });
  running = false;
  await teller.told();

  expect(told).toBe(4);
});

test("after a page drew the line by itself it is told again, even if it says the same", async () => {
  await teller.told();
  teller.forget();
  await teller.told();

  expect(told).toBe(2);
});
