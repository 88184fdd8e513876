import { beforeEach, expect, test } from "vitest";
import { Quiet } from "./quiet";

let now: number;
let timers: Array<{ at: number; work: () => void }>;
let done: string[];
let quiet: Quiet;

beforeEach(() => {
  now = 0;
  timers = [];
  done = [];
  quiet = new Quiet({
    now: () => now,
    later: (work, ms) => timers.push({ at: now + ms, work }),
  });
});

function passTo(end: number): void {
  for (;;) {
    const next = timers.filter(({ at }) => at <= end).sort((one, other) => one.at - other.at)[0];
    if (!next) break;
    timers.splice(timers.indexOf(next), 1);
    now = next.at;
    next.work();
  }
  now = end;
}

const ask = (name: string) => quiet.whenQuiet(name, () => done.push(`${name} at ${now}`));

test("works of one name become one, after a moment", () => {
  ask("truth");
  passTo(100);
  ask("truth");
  ask("job");
  passTo(5000);

  expect(done).toEqual(["truth at 400", "job at 400"]);
});

test("a tap puts it off until the hand rests", () => {
  ask("truth");
  passTo(300);
  quiet.touched();
  passTo(5000);

  expect(done).toEqual(["truth at 700"]);
});

test("it is not put off for ever", () => {
  ask("truth");
  for (let at = 200; at <= 6000; at += 200) {
    passTo(at);
    quiet.touched();
  }

  expect(done).toHaveLength(1);
  expect(done[0]).toMatch(/^truth at (29|30|31|32|33|34)\d\d$/);
});

test("what is asked for later waits anew", () => {
  ask("truth");
  passTo(1000);
  ask("truth");
  passTo(5000);

  expect(done).toEqual(["truth at 400", "truth at 1400"]);
});
