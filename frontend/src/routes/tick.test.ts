import { type IDBPTransaction, openDB } from "idb";
import { beforeEach, expect, test, vi } from "vitest";
import { openDatabase } from "../store/database";
import { findJob } from "../store/jobs";
import { type BenchDatabase, DATABASE_NAME } from "../store/schema";
import {
  type Bench,
  JOB,
  makeBench,
  makeEntry,
  makeHeader,
  makeStep,
  OTTO,
} from "../testing/bench";

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

/** Another worker of this phone, as while a new version takes over. */
async function elsewhere(write: (tx: Elsewhere) => Promise<unknown>): Promise<void> {
  const other = await openDB<BenchDatabase>(DATABASE_NAME);
  const tx = other.transaction(["entries", "jobs", "meta"], "readwrite");
  await write(tx);
  await tx.done;
  other.close();
}

type Elsewhere = IDBPTransaction<BenchDatabase, ("entries" | "jobs" | "meta")[], "readwrite">;

test("a tick on a job that was seen takes one look into the database", async () => {
  await bench.get(`/bench/jobs/${JOB}`);
  const looks = vi.spyOn(await openDatabase(), "transaction");
  const answer = await tick("first");

  expect(looks).toHaveBeenCalledTimes(1);
  expect(answer).toContain('aria-pressed="true"');
  expect(answer).toContain("1 kept on this phone");
});

test("what another worker wrote since is in the answer, and the tick is kept once", async () => {
  await bench.get(`/bench/jobs/${JOB}`);
  const theirs = makeEntry({ body: { step: "third", outcome: "done" } });
  await elsewhere(async (tx) => {
    const row = await tx.objectStore("jobs").get(JOB);
    await tx.objectStore("entries").put({ id: theirs.id, job: JOB, entry: theirs, own: false });
    if (row) await tx.objectStore("jobs").put({ ...row, mark: "another" });
  });
  await tick("first");
  const entries = (await findJob(JOB))?.entries ?? [];

  expect(entries).toHaveLength(2);
  expect(await (await bench.get(`/bench/jobs/${JOB}`)).text()).toContain("2 of 4");
});

test("a tick is written by who is at work now, whoever was when the page was drawn", async () => {
  await bench.get(`/bench/jobs/${JOB}`);
  await elsewhere((tx) => tx.objectStore("meta").put(OTTO, "person"));
  await tick("first");

  expect((await findJob(JOB))?.entries).toMatchObject([{ by: OTTO }]);
});

test("a tick that is refused was refused by what is in the database", async () => {
  await bench.get(`/bench/jobs/${JOB}`);
  bench.server.jobs = [makeHeader({ route: [makeStep("first", { kind: "check" })] })];
  await bench.syncer.sync({ force: true });
  const answer = await bench.post(`/bench/jobs/${JOB}/steps/first/tick`, { outcome: "done" });

  expect(answer.status).toBe(409);
  expect((await findJob(JOB))?.entries).toEqual([]);
});

test("an answer that was drawn is not shown when the tick could not be kept", async () => {
  await bench.get(`/bench/jobs/${JOB}`);
  const failing = vi.spyOn(IDBTransaction.prototype, "commit").mockImplementation(function (
    this: IDBTransaction,
  ) {
    this.abort();
  });
  const answer = await bench.post(`/bench/jobs/${JOB}/steps/first/tick`, { outcome: "done" });
  failing.mockRestore();

  expect(answer.status).toBe(507);
  expect(await answer.text()).toContain("did not answer in time");
  expect(await (await bench.get(`/bench/jobs/${JOB}`)).text()).toContain("0 of 4");
});
