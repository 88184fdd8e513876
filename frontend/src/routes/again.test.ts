import { beforeEach, expect, test } from "vitest";
import { findJob } from "../store/jobs";
import { type Bench, JOB, makeBench, makeEntry, makeHeader, makeStep } from "../testing/bench";

const ADDED = "0190a000-0000-7000-8000-0000000000f8";
const BECAUSE = "its cage hangs beside another chainring line";
const SHAFT = makeStep("shaft", {
  title: "Renew the bottom bracket",
  stage: "bearings",
  before: ["mech"],
  reopens: [{ key: "mech", because: BECAUSE }],
});

let bench: Bench;

beforeEach(async () => {
  bench = await makeBench();
  bench.server.jobs = [
    makeHeader({ route: [makeStep("look"), makeStep("mech", { stage: "shift" })] }),
  ];
  await bench.syncer.sync({ force: true });
  await tick("mech");
  bench.server.add(
    makeEntry({
      id: ADDED,
      kind: "route-added",
      body: { finding: ADDED, title: "New bottom bracket", steps: [SHAFT] },
    }),
  );
  await bench.syncer.sync({ force: true });
});

async function tick(key: string): Promise<string> {
  const last = await lastTick(key);
  const values = { outcome: "done", seen: last?.id ?? "" };
  return (await bench.post(`/bench/jobs/${JOB}/steps/${key}/tick`, values)).text();
}

async function lastTick(key: string) {
  const entries = (await findJob(JOB))?.entries ?? [];
  return entries.findLast(({ kind, body }) => kind === "tick" && body.step === key);
}

test("the page of a step says after which work it is open again, and why", async () => {
  const page = await (await bench.get(`/bench/jobs/${JOB}/steps/mech`)).text();

  expect(page).toContain("Open again");
  expect(page).toContain(`After “Renew the bottom bracket”, because ${BECAUSE}.`);
  expect(page).toContain('aria-pressed="false"');
});

test("a tick keeps what it has seen of the work, and the step is done", async () => {
  await tick("shaft");
  const answer = await tick("mech");
  const work = await lastTick("shaft");

  expect(answer).not.toContain("Open again");
  expect((await lastTick("mech"))?.body.seen).toEqual([ADDED, work?.id]);
  expect(await (await bench.get(`/bench/jobs/${JOB}`)).text()).toContain("2 of 3");
});

test("the work's own tick draws the step that it opens again", async () => {
  await tick("mech");
  const answer = await tick("shaft");

  expect(answer).toContain('id="step-mech"');
  expect(answer).toContain("Open again");
});

test("a step that nothing opens again keeps no list", async () => {
  await tick("look");

  expect((await lastTick("look"))?.body).toEqual({ step: "look", outcome: "done" });
});
