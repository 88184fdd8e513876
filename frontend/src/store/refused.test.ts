import { v7 } from "uuid";
import { beforeEach, expect, test } from "vitest";
import { type Bench, JOB, MIRA, makeBench, NOW } from "../testing/bench";
import { appendEntry, type NewEntry } from "./append";
import { findJob, listJobs } from "./jobs";
import { countKept } from "./outbox";
import * as refused from "./refused";

let bench: Bench;

beforeEach(async () => {
  bench = await makeBench();
});

function tick(more: Partial<NewEntry> = {}): NewEntry {
  const body = { step: "look", outcome: "done" };
  const facts = { id: v7(), job: JOB, by: MIRA, at: NOW.toISOString(), supersedes: [] };
  return { ...facts, kind: "tick", body, ...more };
}

async function writeRefused(code: string, entry = tick()): Promise<string> {
  bench.server.refuse = () => ({ code, message: "Not so." });
  const { id } = await appendEntry(entry);
  await bench.syncer.sync({ force: true });
  bench.server.refuse = () => undefined;
  return id;
}

const sync = () => bench.syncer.sync({ force: true });

test("sent again, it goes under its own name and counts again", async () => {
  const id = await writeRefused("unknown-person");
  expect((await listJobs())[0]?.summary.done).toBe(0);
  const before = (await refused.listRefused())[0]?.entry;
  await refused.sendAgain(id);
  await sync();

  expect(bench.server.stored.map(({ entry }) => entry)).toEqual([before]);
  expect((await listJobs())[0]?.summary.done).toBe(1);
  expect(await countKept()).toMatchObject({ entries: 0, refused: 0 });
});

test("refused again, it is on the list again", async () => {
  const id = await writeRefused("unknown-person");
  bench.server.refuse = () => ({ code: "unknown-job", message: "No such job." });
  await refused.sendAgain(id);
  await sync();

  expect(await refused.listRefused()).toMatchObject([{ id, code: "unknown-job" }]);
});

test("a name that is somebody else's already is given up: written anew, it replaces nothing", async () => {
  const id = await writeRefused("id-reused", tick({ supersedes: [v7()] }));
  await refused.sendAgain(id);
  await sync();

  const [stored] = bench.server.stored.map(({ entry }) => entry);
  expect(stored).toMatchObject({ kind: "tick", n: 2, supersedes: [], body: { step: "look" } });
  expect(stored?.id).not.toBe(id);
  expect(await refused.listRefused()).toEqual([]);
});

test("what is taken off the list can be brought back, as it was", async () => {
  const id = await writeRefused("unknown-job");
  const before = await refused.listRefused();
  await refused.takeOffList(id, NOW.toISOString());
  expect(await refused.listRefused()).toEqual([]);
  expect((await refused.listRemoved()).map((row) => row.id)).toEqual([id]);
  expect((await countKept()).refused).toBe(0);

  await refused.bringBack(id);
  expect(await refused.listRefused()).toEqual(before);
});

test("it goes for good only after thirty days off the list", async () => {
  const [stays, goes, listed] = [
    await writeRefused("x"),
    await writeRefused("x"),
    await writeRefused("x"),
  ];
  await refused.takeOffList(goes, "2026-01-30T10:00:00.000Z");
  await refused.takeOffList(stays, "2026-02-01T10:00:00.000Z");
  await sync();

  expect((await refused.listRemoved()).map((row) => row.id)).toEqual([stays]);
  expect((await refused.listRefused()).map((row) => row.id)).toEqual([listed]);
});

test("a refused entry is no part of its job", async () => {
  await writeRefused("unknown-job");

  expect((await findJob(JOB))?.entries).toEqual([]);
});
