import { v7 } from "uuid";
import { beforeEach, expect, test } from "vitest";
import { findJob } from "../store/jobs";
import {
  type Bench,
  JOB,
  makeAsk,
  makeBench,
  makeHeader,
  makeStep,
  WORKSHOP,
  WRENCH,
} from "../testing/bench";

let bench: Bench;
const PATH = `/bench/jobs/${JOB}`;

function fastener(item: string) {
  return makeAsk({
    item,
    kind: "torque",
    label: `Bolt ${item}`,
    unit: "N·m",
    rule: { type: "band", min: 4, max: 6 },
    scale: [0, 10],
    required: ["left"],
    safety: true,
  });
}

const ROUTE = [
  makeStep("front", { asks: [fastener("stem"), fastener("bar")] }),
  makeStep("rear", { asks: [fastener("post"), { ...fastener("rack"), required: [] }] }),
];

beforeEach(async () => {
  bench = await makeBench();
  bench.server.jobs = [makeHeader({ route: ROUTE })];
  await bench.syncer.sync({ force: true });
});

const ask = (step: string, item: string): string => `${PATH}/steps/${step}/asks/${item}`;

async function page(path: string): Promise<string> {
  return (await bench.get(path)).text();
}

async function entries() {
  return (await findJob(JOB))?.entries ?? [];
}

async function post(path: string, form: Record<string, string>) {
  const id = v7();
  const response = await bench.post(path, form, { "X-Entry-Id": id });
  const html = await response.text();
  return { id, html, status: response.status, to: response.headers.get("HX-Redirect") };
}

const leave = (step: string, item: string, value: string) =>
  post(`${ask(step, item)}/reading`, { phase: "left", run: "torque", value, unit: "N·m" });

test("a torque inside its band brings the next fastener by itself, and says what was kept", async () => {
  const { id, to } = await leave("front", "stem", "5");
  expect(to).toBe(`${ask("front", "bar")}?phase=left&run=torque&kept=${id}`);
  const html = await page(to ?? "");

  expect(html).toContain("<h1>Bolt bar</h1>");
  expect(html).toContain("Kept. Bolt stem, left at: 5 N·m, sound");
  expect(html).toContain(`hx-post="${PATH}/undo"`);
});

test("a torque outside its band is looked at before the run goes on", async () => {
  const { to, html } = await leave("front", "stem", "9");

  expect(to).toBeNull();
  expect(html).toContain("chip unsafe");
  expect(html).toContain(`href="${ask("front", "bar")}?phase=left&amp;run=torque"`);
});

test("the run goes on from where it is, and comes back to what was skipped", async () => {
  const after = await leave("front", "bar", "5");
  expect(after.to).toContain(`${ask("rear", "post")}?`);
  const last = await leave("rear", "post", "5");
  expect(last.to).toContain(`${ask("front", "stem")}?`);
  const end = await leave("front", "stem", "5");

  expect(end.to).toBe(`${PATH}/torque?kept=${end.id}`);
  expect(await page(`${PATH}/torque`)).toContain("3 of 3 fasteners");
});

test("one back and one on stand under the pad", async () => {
  const html = await page(`${ask("front", "bar")}?phase=left&run=torque`);

  expect(html).toMatch(new RegExp(`href="${ask("front", "stem")}[^"]*"[^>]*>.*Back one`));
  expect(html).toMatch(new RegExp(`href="${ask("rear", "post")}[^"]*"[^>]*>.*Skip`));
  expect(await page(`${ask("front", "stem")}?phase=left&run=torque`)).not.toContain("Back one");
});

test("found loose is one tap on the pad, and the same fastener waits for what it is left at", async () => {
  const form = { phase: "left", run: "torque", loose: "1", value: "", unit: "N·m" };
  const { id, to } = await post(`${ask("front", "stem")}/reading`, form);

  expect(to).toBe(`${ask("front", "stem")}?phase=left&run=torque&kept=${id}`);
  expect((await entries()).at(-1)?.body).toMatchObject({
    step: "front",
    item: "stem",
    phase: "found",
    value: null,
    loose: true,
  });
  expect(await page(to ?? "")).toContain("Kept. Bolt stem, found: loose");
});

test("found loose is one tap in the list, and not offered once it was turned", async () => {
  expect(await page(`${PATH}/torque`)).toContain('aria-label="Bolt stem: found loose"');
  const { id, to } = await post(`${ask("front", "stem")}/reading`, { loose: "1", run: "list" });
  expect(to).toBe(`${PATH}/torque?kept=${id}#fastener-front-stem`);
  await leave("front", "bar", "5");
  const html = await page(`${PATH}/torque`);

  expect(html).not.toContain('aria-label="Bolt stem: found loose"');
  expect(html).not.toContain('aria-label="Bolt bar: found loose"');
  expect(html).toContain('aria-label="Bolt post: found loose"');
});

test("the wrench in hand is remembered from the list and from a reading", async () => {
  const other = "0190a000-0000-7000-8000-0000000000e2";
  const wrenches = WORKSHOP.instruments.map((each) => ({ ...each, id: other, name: "Big one" }));
  bench.server.workshop = { ...WORKSHOP, instruments: [...WORKSHOP.instruments, ...wrenches] };
  await bench.syncer.sync({ force: true });
  expect((await post(`${PATH}/torque/wrench`, { wrench: WRENCH })).status).toBe(204);
  const chosen = await page(`${ask("front", "stem")}?phase=left&run=torque`);
  expect(chosen).toContain(`value="${WRENCH}" selected`);

  await post(`${ask("front", "stem")}/reading`, {
    phase: "left",
    run: "torque",
    value: "5",
    unit: "N·m",
    instrument: other,
  });
  expect(await page(`${PATH}/torque`)).toContain(`value="${other}" selected`);
});

test("what was measured before stands above the pad, ready to be put in", async () => {
  const first = await leave("front", "stem", "5.5");
  const form = { phase: "left", value: "5", unit: "N·m", seen: first.id };
  await post(`${ask("front", "stem")}/reading`, form);
  const found = { phase: "found", value: "44", unit: "lbf·in" };
  await post(`${ask("front", "stem")}/reading`, found);
  const html = await page(`${ask("front", "stem")}?phase=left`);
  const fills = [...html.matchAll(/data-fill="([^"]+)" data-fill-unit="([^"]+)"/g)];

  expect(fills.map((hit) => hit.slice(1))).toEqual(
    expect.arrayContaining([
      ["44", "lbf·in"],
      ["5.5", "N·m"],
    ]),
  );
  expect(fills).toHaveLength(2);
});

test("what was taken back is not offered again", async () => {
  const { id } = await leave("front", "stem", "5.5");
  await post(`${PATH}/void`, { entry: id, reason: "wrong bolt" });

  expect(await page(`${ask("front", "stem")}?phase=left`)).not.toContain("data-fill");
});

const BIG = "0190a000-0000-7000-8000-0000000000e2";

async function haveWrenches(small: object, big: object = {}): Promise<void> {
  const [first] = WORKSHOP.instruments;
  if (!first) throw new Error("the workshop has a wrench");
  const instruments = [
    { ...first, ...small },
    { ...first, id: BIG, name: "Wrench 5–50", range_min: 5, range_max: 50, ...big },
  ];
  bench.server.workshop = { ...WORKSHOP, instruments };
  await bench.syncer.sync({ force: true });
}

const leaveWith = (instrument: string, value: string, phase = "left") =>
  post(`${ask("front", "stem")}/reading`, { phase, value, unit: "N·m", instrument });

test("an overdue wrench has no value accepted, and the refusal names the one that may", async () => {
  await haveWrenches({ due_on: "2026-03-01" });
  const { status, html } = await leaveWith(WRENCH, "5");

  expect(status).toBe(422);
  expect(html).toContain(
    "Wrench 2–25 had to be calibrated by 1 March 2026: it cannot say that this is right. Take Wrench 5–50.",
  );
  expect(html).toContain('value="5"');
  expect(await entries()).toEqual([]);
  expect((await leaveWith(BIG, "5")).status).not.toBe(422);
  expect(await page(`${PATH}/torque`)).toContain("Wrench 2–25 (calibration overdue)");
});

test("a wrench that does not reach the value has it not accepted", async () => {
  await haveWrenches({ range_max: 4.5, range_min: 1 });

  expect((await leaveWith(WRENCH, "5")).html).toContain(
    "Wrench 2–25 reads from 1 to 4.5 N·m: it cannot say that this is right. Take Wrench 5–50.",
  );
});

test("where no other can, the desk is to be asked", async () => {
  await haveWrenches({ worn_out: true }, { due_on: "2026-03-01" });

  expect((await leaveWith(WRENCH, "5")).html).toContain(
    "has been used too often since it was calibrated: it cannot say that this is right. Nothing else in the shop can either: ask the desk.",
  );
});

test("with any wrench a fastener may be found tight, or left as nobody should leave it", async () => {
  await haveWrenches({ worn_out: true });

  expect((await leaveWith(WRENCH, "5", "found")).status).not.toBe(422);
  expect((await leaveWith(WRENCH, "9")).html).toContain("chip unsafe");
  expect(await entries()).toHaveLength(2);
});
