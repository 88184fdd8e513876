import { beforeEach, expect, test } from "vitest";
import { createLane, type Lane, type LaneDeps, waitAfter } from "./lane";
import { ServerTrouble } from "./problems";

type Outcome = { ok: boolean; message: string };

/** A clock that only the test moves on. */
class VirtualClock {
  ms = Date.UTC(2026, 2, 2);
  private waiting: Array<{ at: number; work: () => void }> = [];

  later = (ms: number, work: () => void) => {
    const each = { at: this.ms + ms, work };
    this.waiting.push(each);
    return () => {
      this.waiting = this.waiting.filter((other) => other !== each);
    };
  };

  async pass(ms: number): Promise<void> {
    const end = this.ms + ms;
    for (;;) {
      const [next] = this.waiting.filter(({ at }) => at <= end).sort((a, b) => a.at - b.at);
      if (!next) break;
      this.ms = Math.max(this.ms, next.at);
      this.waiting = this.waiting.filter((each) => each !== next);
      next.work();
      await new Promise((resolve) => setTimeout(resolve, 0));
    }
    this.ms = end;
  }
}

let clock: VirtualClock;
let deps: LaneDeps;
let runs: number[];
let fail: (() => unknown) | undefined;

beforeEach(() => {
  clock = new VirtualClock();
  deps = { now: () => new Date(clock.ms), later: clock.later, random: () => 1, locks: undefined };
  runs = [];
  fail = undefined;
});

function makeLane(): Lane<Outcome> {
  const start = clock.ms;
  const work = async () => {
    runs.push(clock.ms - start);
    if (fail) throw fail();
    return { ok: true, message: "" };
  };
  const failed = (message: string) => ({ ok: false, message });
  return createLane(deps, { lock: "test", work, failed, initial: { ok: true, message: "" } });
}

test("waiting grows with every failure, is spread by chance, and has an end", () => {
  expect(waitAfter(0, 0.5)).toBe(0);
  expect(waitAfter(1, 0)).toBe(2500);
  expect(waitAfter(1, 1)).toBe(5000);
  expect(waitAfter(30, 1)).toBe(60_000);
});

test("a failure is tried again by itself, later and later, until it works", async () => {
  fail = () => new ServerTrouble(500, "no");
  const lane = makeLane();
  await lane.run();
  await clock.pass(40_000);
  fail = undefined;
  await clock.pass(100_000);

  expect(runs).toEqual([0, 5000, 15_000, 35_000, 75_000]);
});

test("what nobody foresaw is a failure like any other, with a sentence", async () => {
  fail = () => new RangeError("odd");
  const lane = makeLane();
  const outcome = await lane.run();
  await lane.run();

  expect(outcome.message).toContain("odd");
  expect(runs).toEqual([0]);
});

test("a person's own wish does not wait, and calls off the retry that was planned", async () => {
  fail = () => new ServerTrouble(500, "no");
  const lane = makeLane();
  await lane.run();
  await clock.pass(1000);
  fail = undefined;
  await lane.run({ force: true });
  await clock.pass(60_000);

  expect(runs).toEqual([0, 1000]);
});

test("going from page to page does not ask again at once, writing does", async () => {
  const lane = makeLane();
  await lane.run();
  await lane.run({ calm: true });
  await lane.run();
  await clock.pass(8000);
  await lane.run({ calm: true });

  expect(runs).toEqual([0, 0, 8000]);
});

test("somebody who comes to look need not wait for a long back-off, yet does not ask at every page", async () => {
  fail = () => new ServerTrouble(500, "no");
  const lane = makeLane();
  await lane.run();
  await clock.pass(45_000);
  fail = undefined;
  await lane.run({ seen: true });
  await lane.run({ seen: true });
  await clock.pass(3000);
  fail = () => new ServerTrouble(500, "no");
  await lane.run({ force: true });
  await lane.run({ seen: true });

  expect(runs).toEqual([0, 5000, 15_000, 35_000, 45_000, 48_000]);
});

test("a clock that is set back does not make it wait for years", async () => {
  fail = () => new ServerTrouble(500, "no");
  const lane = makeLane();
  await lane.run();
  clock.ms -= 5 * 365 * 86_400_000;
  fail = undefined;

  expect((await lane.run()).ok).toBe(true);
});

test("asked twice at once it runs once", async () => {
  const lane = makeLane();
  const [one, other] = [lane.run(), lane.run()];

  expect(lane.isRunning()).toBe(true);
  expect(await one).toBe(await other);
  expect(runs).toHaveLength(1);
});

test("two windows take turns", async () => {
  const order: string[] = [];
  let held = Promise.resolve();
  const request = (_: string, work: () => Promise<unknown>) => {
    const mine = held.then(work);
    held = mine.then(() => undefined);
    return mine;
  };
  deps.locks = { request } as unknown as LockManager;
  const lane = (name: string) =>
    createLane<Outcome>(deps, {
      lock: "test",
      work: async () => {
        order.push(`${name} begins`);
        await new Promise((resolve) => setTimeout(resolve, 5));
        order.push(`${name} ends`);
        return { ok: true, message: "" };
      },
      failed: (message) => ({ ok: false, message }),
      initial: { ok: true, message: "" },
    });
  await Promise.all([lane("one").run(), lane("other").run()]);

  expect(order).toEqual(["one begins", "one ends", "other begins", "other ends"]);
});

test("what changes who the phone is waits for a run, and a run waits for it", async () => {
  const order: string[] = [];
  const lane = createLane<Outcome>(deps, {
    lock: "test",
    work: async () => {
      order.push("sync begins");
      await new Promise((resolve) => setTimeout(resolve, 5));
      order.push("sync ends");
      return { ok: true, message: "" };
    },
    failed: (message) => ({ ok: false, message }),
    initial: { ok: true, message: "" },
  });
  const first = lane.run();
  const held = lane.hold(async () => {
    order.push("enrolled");
  });
  await first;
  const second = lane.run({ force: true });
  await Promise.all([held, second]);

  expect(order).toEqual(["sync begins", "sync ends", "enrolled", "sync begins", "sync ends"]);
});
