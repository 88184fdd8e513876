import { beforeEach, expect, test } from "vitest";
import { type Bench, JOB, makeBench, makeHeader, makeStep } from "../testing/bench";

let bench: Bench;
const ALONE = { key: "first", because: "it comes first" };

beforeEach(async () => {
  bench = await makeBench();
  const route = ["first", "second", "third"].map((key) => makeStep(key));
  const after = makeStep("last", { after: [ALONE, { key: "third", because: "so it is" }] });
  bench.server.jobs = [makeHeader({ route: [...route, after] })];
  await bench.syncer.sync({ force: true });
});

async function tick(key: string): Promise<string> {
  const answer = await bench.post(`/bench/jobs/${JOB}/steps/${key}/tick`, { outcome: "done" });
  return answer.text();
}

function rowsOf(html: string): string[] {
  return [...html.matchAll(/<li id="step-([a-z]+)"/g)].map((found) => found[1] ?? "");
}

test("only rows that say something else than before are drawn again", async () => {
  expect(rowsOf(await tick("first"))).toEqual(["first", "second"]);
  expect(rowsOf(await tick("third"))).toEqual(["third"]);
});

test("a step done ahead of its turn is drawn again when what comes first is done", async () => {
  expect(await tick("last")).toContain("so it is");
  const answer = await tick("third");

  expect(rowsOf(answer)).toEqual(["third", "last"]);
  expect(answer).not.toContain("so it is");
});
