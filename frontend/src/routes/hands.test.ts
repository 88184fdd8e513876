import { beforeEach, expect, test } from "vitest";
import { findJob, listJobs } from "../store/jobs";
import { setPerson } from "../store/meta";
import { type Bench, JOB, MIRA, makeBench, makeEntry, NOW, OTTO, WORKSHOP } from "../testing/bench";

let bench: Bench;
const HANDS = `/bench/jobs/${JOB}/hands`;
const MINUTE = 60_000;

beforeEach(async () => {
  bench = await makeBench();
});

const ago = (minutes: number): string => new Date(NOW.getTime() - minutes * MINUTE).toISOString();

/** Mira's hands went on that many minutes ago, and she wrote so long ago. */
async function handsOn(minutes: number, wrote: number[] = []): Promise<string> {
  const on = makeEntry({ kind: "hands-on", body: {}, by: MIRA, at: ago(minutes) });
  bench.server.add(on);
  for (const each of wrote) bench.server.add(makeEntry({ by: MIRA, at: ago(each) }));
  await bench.syncer.sync({ force: true });
  return on.id;
}

async function last() {
  const entries = (await findJob(JOB))?.entries ?? [];
  return entries.filter((entry) => entry.kind === "hands-off").at(-1);
}

async function page(path = "/bench/"): Promise<string> {
  return (await bench.get(path)).text();
}

async function post(form: Record<string, string>, target = "") {
  const response = await bench.post(HANDS, form, { "HX-Target": target });
  return { status: response.status, headers: response.headers, html: await response.text() };
}

test("hands on and off are two entries and one button", async () => {
  const on = await post({ on: "1" });
  expect(on.html).toContain("Hands off");
  expect(on.html).toContain("Kept. Hands on");
  const [open] = (await listJobs())[0]?.summary.hands ?? [];
  const off = await post({ off: "1", hands: open?.id ?? "" });

  expect(off.html).toContain("Hands on");
  expect(await last()).toMatchObject({ by: MIRA, body: { on: open?.id } });
  expect((await post({ off: "1", hands: open?.id ?? "" })).status).toBe(409);
});

test("the running time stands on every page, on the list and on the job", async () => {
  await handsOn(42);

  expect(await page("/bench/kept")).toMatch(/class="running".*J-0042 <time[^>]*>42 min</);
  expect(await page()).toMatch(/Mira <time[^>]*>42 min</);
  expect(await page(`/bench/jobs/${JOB}`)).toMatch(/Mira <time[^>]*>42 min</);
});

test.each([
  ["nothing for 44 minutes", 44, [], false],
  ["nothing for 45 minutes", 45, [], true],
  ["an entry 44 minutes ago", 90, [60, 44], false],
  ["an entry 45 minutes ago", 90, [60, 45], true],
  ["a gap, then work again", 120, [110, 5], true],
])("%s: the bench asks, or not", async (_, on, wrote, asks) => {
  await handsOn(on, wrote as number[]);

  expect((await page()).includes("Still hands on J-0042?")).toBe(asks);
});

test("another person's entry does not answer for the hands", async () => {
  await handsOn(60);
  bench.server.add(makeEntry({ by: OTTO, at: ago(1) }));
  await bench.syncer.sync({ force: true });

  expect(await page()).toContain("Still hands on J-0042?");
});

test("past closing time the bench asks, and offers that time", async () => {
  bench.server.workshop = { ...WORKSHOP, hours: { mon: [["09:00", "10:00"]] } };
  await handsOn(30);
  const html = await page();

  expect(html).toContain("Still hands on J-0042?");
  expect(html).toContain("Stopped at 10:00, when we closed");
});

test("whoever is still on it is not asked about that time again, and no entry is written", async () => {
  const id = await handsOn(120, [110, 50]);
  const before = (await findJob(JOB))?.entries.length;
  const { html } = await post({ hands: id, still: "1" }, "div#hands-line");

  expect(html).not.toContain("Still hands on");
  expect(html).toContain('class="running"');
  expect(await page()).not.toContain("Still hands on");
  expect((await findJob(JOB))?.entries.length).toBe(before);
});

test("hands come off at the last entry before the gap", async () => {
  const id = await handsOn(120, [110, 5]);
  expect(await page()).toContain("Stopped at 08:25, the last entry");
  await post({ hands: id, until: ago(110) }, "div#hands-line");

  expect(await last()).toMatchObject({ by: MIRA, body: { on: id, until: ago(110) } });
  expect(await page()).not.toContain("J-0042 <time");
});

test("hands off after a long gap is a question first", async () => {
  const id = await handsOn(60);
  const asked = await post({ off: "1", hands: id });

  expect(asked.headers.get("HX-Redirect")).toBe(HANDS);
  expect(await last()).toBeUndefined();
  await post({ now: "1", hands: id });
  expect((await last())?.body).toEqual({ on: id });
});

test("a time is typed as the clock on the wall says it", async () => {
  const id = await handsOn(120);
  await post({ hands: id, time: "09:30" });

  expect((await last())?.body).toEqual({ on: id, until: "2026-03-02T09:30:00.000Z" });
});

test.each(["08:00", "10:30", "25:00", "half past", ""])(
  "the time “%s” is refused with a sentence and nothing is written",
  async (time) => {
    const id = await handsOn(120);
    const { status, html } = await post({ hands: id, time });

    expect(status).toBe(422);
    expect(html).toContain("type a time between hands on and now");
    expect(await last()).toBeUndefined();
  },
);

test("who comes next takes off the hands of who left and forgot", async () => {
  const id = await handsOn(600);
  await setPerson(OTTO);
  expect(await page()).not.toContain("Still hands on J-0042?");
  expect(await page(HANDS)).toContain("<h2>Mira</h2>");
  await post({ hands: id, until: ago(600) });

  expect(await last()).toMatchObject({ by: OTTO, body: { on: id, until: ago(600) } });
});
