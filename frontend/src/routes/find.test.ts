import { beforeEach, expect, test } from "vitest";
import { type Bench, JOB, makeBench, makeHeader } from "../testing/bench";

let bench: Bench;
const PATH = `/bench/jobs/${JOB}`;
const OTHER = "0190a000-0000-7000-8000-00000000000b";

beforeEach(async () => {
  bench = await makeBench();
});

async function found(path: string): Promise<string[]> {
  const html = await (await bench.get(path, { "HX-Request": "true" })).text();
  return [...html.matchAll(/<a class="(?:way|job-link)" href="([^"]+)"/g)].map(
    (hit) => hit[1] ?? "",
  );
}

test.each([
  ["pads", ["#step-pads"]],
  ["STEM", ["#step-stem", "#step-second_look"]],
  ["faceplate stem", ["#step-stem"]],
  [
    "step",
    ["#step-look", "#step-pads", "#step-wash", "#step-stem", "#step-second_look", "#step-release"],
  ],
  ["cháin", ["#step-pads"]],
  ["brakes", []],
  ["faseplate", ["#step-stem"]],
  ["facplate stme", ["#step-stem"]],
  ["psds", ["#step-pads"]],
  ["psd", []],
])("“%s” finds the steps %j of the job", async (query, steps) => {
  expect(await found(`${PATH}/find?q=${encodeURIComponent(query)}`)).toEqual(
    steps.map((step) => PATH + step),
  );
});

test("with no letters the stages stand there as a table of contents", async () => {
  expect(await found(`${PATH}/find?q=`)).toContain(`${PATH}#stage-measure`);
});

test("what finds nothing says so in words", async () => {
  const html = await (await bench.get(`${PATH}/find?q=<b>`, { "HX-Request": "true" })).text();

  expect(html).toContain("Nothing on this phone has “&lt;b&gt;” in it.");
});

test("the key that sends goes to the first step", async () => {
  const answer = await bench.get(`${PATH}/find?q=stem&go=1`);

  expect([answer.status, answer.headers.get("Location")]).toEqual([303, `${PATH}#step-stem`]);
});

test.each(["42", "J-0042", "j0042", " 0042 "])("the number “%s” opens its job", async (number) => {
  bench.server.jobs.push(makeHeader({ id: OTHER, number: "J-0142", bike: "frame 42" }));
  await bench.syncer.sync({ force: true });
  const answer = await bench.get(`/bench/find?q=${encodeURIComponent(number)}&go=1`);

  expect([answer.status, answer.headers.get("Location")]).toEqual([303, PATH]);
});

test.each([
  ["moss", [PATH]],
  ["jana city", [PATH]],
  ["standard", [PATH]],
  ["tandem", []],
])("“%s” finds the jobs %j", async (query, jobs) => {
  expect(await found(`/bench/find?q=${encodeURIComponent(query)}`)).toEqual(jobs);
});

test("a number that no job has stays on the page that says so", async () => {
  const answer = await bench.get("/bench/find?q=99&go=1");

  expect(answer.status).toBe(200);
  expect(await answer.text()).toContain("Nothing on this phone has “99” in it.");
});
