/* Does the phone hold the server to the contract, and keep the contract itself? */
import { v7 } from "uuid";
import { beforeEach, expect, test } from "vitest";
import { appendEntry, type NewEntry } from "../store/append";
import { openDatabase } from "../store/database";
import { findJob, listComing, listJobs } from "../store/jobs";
import { findCatalogue, getSyncFacts, listOthers, noteScreen } from "../store/meta";
import { countKept } from "../store/outbox";
import { listRefused } from "../store/refused";
import {
  type Bench,
  connect,
  DEVICE,
  JOB,
  MIRA,
  makeBench,
  makeEntry,
  makeHeader,
  NOW,
  OTTO,
  WORKSHOP,
  writeMany,
} from "../testing/bench";

const OTHER_JOB = "0190a000-0000-7000-8000-00000000000b";

let bench: Bench;

beforeEach(async () => {
  bench = await makeBench();
});

function note(text: string): NewEntry {
  const facts = { id: v7(), job: JOB, by: MIRA, at: NOW.toISOString(), supersedes: [] };
  return { ...facts, kind: "note", body: { text } };
}

const sync = () => bench.syncer.sync({ force: true });
const lastQuestion = () => bench.server.questions.at(-1);

async function rowOf(id: string) {
  return (await openDatabase()).get("entries", id);
}

test("an entry that was taken knows its number without being fetched again", async () => {
  bench.server.add(makeEntry());
  const mine = await appendEntry(note("one"));
  const outcome = await sync();

  expect(await rowOf(mine.id)).toMatchObject({ own: true, seq: 2 });
  expect(outcome).toMatchObject({ pushed: 1, pulled: 1 });
  expect((await getSyncFacts()).cursor).toBe(2);
});

test("a sync that only takes leave of own entries tells no page that a job changed", async () => {
  await appendEntry(note("one"));
  bench.changed.length = 0;
  await sync();

  expect((await countKept()).entries).toBe(0);
  expect(bench.changed).toEqual([]);
});

test("own entries whose answer was lost come back with their numbers, and change nothing either", async () => {
  const mine = await appendEntry(note("one"));
  bench.server.add(mine);
  bench.changed.length = 0;
  bench.server.misbehave = ({ entries }) =>
    entries.length > 0 ? new Response("busy", { status: 503 }) : undefined;
  await sync();
  bench.server.misbehave = () => undefined;
  await sync();

  expect(await rowOf(mine.id)).toMatchObject({ seq: 1 });
  expect(bench.server.stored).toHaveLength(1);
  expect(bench.changed).toEqual([]);
});

test("refusals are told by position and reach the right entries", async () => {
  const made = [];
  for (const text of ["one", "no", "three", "no"]) made.push(await appendEntry(note(text)));
  bench.server.refuse = ({ body }) =>
    body.text === "no" ? { code: "unknown-job", message: "No such job." } : undefined;
  await sync();

  const ids = (await listRefused()).map((row) => row.id).sort();
  expect(ids).toEqual([made[1]?.id, made[3]?.id].sort());
  expect(bench.server.stored.map(({ entry }) => entry.body.text)).toEqual(["one", "three"]);
});

test.each([
  ["forgets an entry", { taken: [{ at: 0, count: 1, seq: 1 }] }],
  ["names an entry twice", { taken: [{ at: 0, count: 2, seq: 1 }], refusedAt: 1 }],
  ["names one that was not sent", { taken: [{ at: 0, count: 3, seq: 1 }] }],
])("an answer that %s is refused whole, and all stays in the queue", async (_, wrong) => {
  await appendEntry(note("one"));
  await appendEntry(note("two"));
  const at = "refusedAt" in wrong ? wrong.refusedAt : undefined;
  const refused = at === undefined ? [] : [{ at, id: "", code: "x", message: "x" }];
  bench.server.misbehave = ({ entries, cursor }) =>
    entries.length === 0
      ? undefined
      : Response.json({
          ...{ epoch: bench.server.epoch, device: null, taken: wrong.taken, refused, entries: [] },
          ...{ jobs: [], workshop: null, workshop_digest: "", others: [], cursor, more: false },
          server_at: NOW.toISOString(),
        });
  const outcome = await sync();

  expect(outcome.ok).toBe(false);
  expect((await countKept()).entries).toBe(2);
});

test("a hole that only own entries fill is no hole", async () => {
  bench.server.add(makeEntry({ kind: "note", body: { text: "1" } }));
  await appendEntry(note("2"));
  bench.server.page = 1;
  bench.server.add(makeEntry({ kind: "note", body: { text: "3" } }));
  await sync();

  expect(await getSyncFacts()).toMatchObject({ cursor: 3, problem: null });
  expect((await findJob(JOB))?.entries).toHaveLength(3);
});

test("a cursor that runs ahead of what came is a gap, and is asked for again", async () => {
  bench.server.add(makeEntry());
  bench.server.misbehave = ({ cursor, workshop_digest }) =>
    Response.json({
      ...{ epoch: bench.server.epoch, device: null, taken: [], refused: [], entries: [] },
      ...{ jobs: [], workshop: null, workshop_digest, others: [], cursor: cursor + 1 },
      ...{ more: false, server_at: NOW.toISOString() },
    });
  await sync();
  expect(await getSyncFacts()).toMatchObject({ problem: "gap", cursor: 0 });

  bench.server.misbehave = () => undefined;
  await sync();
  expect(await getSyncFacts()).toMatchObject({ problem: null, cursor: 1, since: null });
});

test("an entry that comes back with other words sets the own one aside, unread by nobody", async () => {
  const mine = await appendEntry(note("mine"));
  bench.server.add({ ...mine, body: { text: "theirs" } });
  bench.server.refuse = ({ id }) =>
    id === mine.id ? { code: "id-reused", message: "Another entry has this number." } : undefined;
  bench.server.misbehave = ({ entries }) =>
    entries.length > 0 ? new Response("busy", { status: 500 }) : undefined;
  await sync();

  expect(await listRefused()).toMatchObject([{ id: mine.id, entry: { body: { text: "mine" } } }]);
  expect((await findJob(JOB))?.entries.map((entry) => entry.body.text)).toEqual(["theirs"]);
});

test("a job is shown once its route is here, and is listed as still coming before", async () => {
  bench.server.jobs = [
    ...bench.server.jobs,
    makeHeader({ id: OTHER_JOB, number: "J-0043", route: [] }),
  ];
  bench.server.epoch = "22222222-2222-4222-8222-222222222222";
  const { fetch } = bench.server;
  let routesWork = false;
  const flaky = connect(
    Object.assign(bench.server, {
      fetch: async (url: string, init: RequestInit) =>
        url === "/api/routes" && !routesWork
          ? Response.json({ code: "busy", message: "Busy." }, { status: 503 })
          : fetch(url, init),
    }),
  );
  const first = await flaky.syncer.sync({ force: true });
  expect(first).toMatchObject({ ok: false, message: "Busy." });
  expect((await listComing()).map((brief) => brief.number)).toEqual(["J-0043"]);
  expect(await (await bench.get("/bench/")).text()).toContain("Still coming");
  expect((await listJobs()).map(({ header }) => header.number)).toEqual(["J-0042"]);

  routesWork = true;
  await flaky.syncer.sync({ force: true });
  expect(await listComing()).toEqual([]);
  expect(await (await bench.get("/bench/")).text()).not.toContain("Still coming");
  expect((await listJobs()).map(({ header }) => header.number)).toEqual(["J-0042", "J-0043"]);
});

test("a route that two jobs share is fetched once", async () => {
  bench.server.jobs = [...bench.server.jobs, makeHeader({ id: OTHER_JOB, number: "J-0043" })];
  bench.server.epoch = "22222222-2222-4222-8222-222222222222";
  bench.server.asked = [];
  await sync();

  expect(bench.server.asked.filter((each) => each.endsWith("/api/routes"))).toEqual([]);
  expect(await listJobs()).toHaveLength(2);
});

test("the workshop is sent once, and again when it changed", async () => {
  await sync();
  const known = lastQuestion()?.workshop_digest;
  bench.server.workshop = { ...WORKSHOP, name: "Lockside Cycles" };
  await sync();
  await sync();

  expect(known).not.toBe("");
  expect(lastQuestion()?.workshop_digest).not.toBe(known);
});

test("the catalogue is fetched when the workshop names another version", async () => {
  bench.server.workshop = { ...WORKSHOP, catalogue: "v2" };
  bench.server.catalogue = { version: "v2" };
  await sync();
  await sync();

  expect((await findCatalogue())?.version).toBe("v2");
  expect(bench.server.asked.filter((each) => each === "GET /api/catalogue")).toHaveLength(1);
});

test("the request says what is on the screen, how the storage stands and what will still wait", async () => {
  await noteScreen({ job: JOB, by: MIRA }, "not protected");
  for (let n = 0; n < 3; n += 1) await appendEntry(note(`${n}`));
  await sync();

  expect(lastQuestion()).toMatchObject({
    device: DEVICE,
    last_n: 3,
    open: { job: JOB, by: MIRA },
    storage: "not protected",
    more: false,
    unsent: { entries: 0, photos: 0, walk_ins: 0, oldest_at: null },
  });
});

test("while further entries follow, each request says so and how many", async () => {
  await writeMany(1001, OTHER_JOB);
  const before = bench.server.questions.length;
  await sync();

  const [first, second] = bench.server.questions.slice(before);
  expect(first).toMatchObject({ more: true, unsent: { entries: 1, oldest_at: NOW.toISOString() } });
  expect(second).toMatchObject({ more: false, unsent: { entries: 0 } });
  expect(bench.server.questions).toHaveLength(before + 2);
});

test("who else has a job open is kept, and the job's page is told when that changes", async () => {
  const there = { job: JOB, by: OTTO, device: "Phone 2", at: NOW.toISOString() };
  bench.server.others = [there];
  bench.changed.length = 0;
  await sync();
  bench.server.others = [{ ...there, at: "2026-03-02T10:16:00.000Z" }];
  await sync();
  expect(await listOthers()).toEqual(bench.server.others);

  bench.server.others = [];
  await sync();
  expect(await listOthers()).toEqual([]);
  expect(bench.changed.map(({ jobs }) => jobs)).toEqual([[JOB], [JOB]]);
});

test("a bike that was collected elsewhere leaves the list without being folded", async () => {
  bench.server.add(makeEntry());
  bench.server.add(makeEntry({ kind: "collected", body: {} }));
  await sync();

  expect(await listJobs()).toEqual([]);
  expect((await (await openDatabase()).get("jobs", JOB))?.stale).toBe(true);
  expect((await findJob(JOB))?.state.place).toBe("collected");
});

test("a phone whose clock is wrong by years syncs, says so, and breaks nothing", async () => {
  const wrong = new Date("2019-01-01T00:00:00Z");
  const past = connect(bench.server, wrong);
  bench.server.time = NOW.toISOString();
  await appendEntry({ ...note("long ago"), at: wrong.toISOString() });
  expect(await past.syncer.sync({ force: true })).toMatchObject({ ok: true, pushed: 1 });
  expect((await getSyncFacts()).clock_offset_ms).toBe(NOW.getTime() - wrong.getTime());

  const future = connect(bench.server, new Date(8.64e15));
  await appendEntry(note("far ahead"));
  expect(await future.syncer.sync({ force: true })).toMatchObject({ ok: true, pushed: 1 });
  expect(bench.server.questions.at(-1)?.sent_at).toBe("9999-12-31T00:00:00.000Z");
});
