import { v7 } from "uuid";
import { beforeEach, expect, test } from "vitest";
import { appendEntry, type NewEntry } from "../store/append";
import { enrol } from "../store/enrolment";
import { findJob, listJobs } from "../store/jobs";
import { findDevice, getSyncFacts } from "../store/meta";
import { countKept, listUnsent } from "../store/outbox";
import { listRefused } from "../store/refused";
import {
  type Bench,
  connect,
  DEVICE,
  JOB,
  MIRA,
  makeBench,
  makeEntry,
  NOW,
  writeMany,
} from "../testing/bench";

let bench: Bench;

beforeEach(async () => {
  bench = await makeBench();
});

function tick(step = "look"): NewEntry {
  return {
    id: v7(),
    job: JOB,
    kind: "tick",
    by: MIRA,
    at: NOW.toISOString(),
    body: { step, outcome: "done" },
    supersedes: [],
  };
}

const sync = () => bench.syncer.sync({ force: true });

test("what was written here reaches the server once and leaves the queue", async () => {
  await appendEntry(tick());
  const outcome = await sync();
  await sync();

  expect(outcome).toMatchObject({ ok: true, pushed: 1 });
  expect(bench.server.stored).toHaveLength(1);
  expect(await countKept()).toMatchObject({ entries: 0, oldestAt: null });
});

test("the request is gzipped and says the cursor, the count and the version", async () => {
  await appendEntry(tick());
  await sync();

  expect(bench.server.encodings.at(-1)).toBe("gzip");
  expect(bench.server.questions.at(-1)).toMatchObject({
    device: DEVICE,
    last_n: 1,
    app: "test",
    cursor: 0,
  });
});

test("an entry of another phone arrives and changes the list", async () => {
  bench.server.add(makeEntry());
  await sync();

  expect((await listJobs())[0]?.summary).toMatchObject({ done: 1, next: "Step pads" });
  expect(bench.changed.at(-1)?.jobs).toEqual([JOB]);
});

test("many entries come in several pages without a hole", async () => {
  bench.server.page = 50;
  for (let n = 0; n < 230; n += 1)
    bench.server.add(makeEntry({ kind: "note", body: { text: `note ${n}` } }));
  const outcome = await sync();

  expect(outcome).toMatchObject({ ok: true, pulled: 230 });
  expect((await getSyncFacts()).cursor).toBe(230);
  expect((await findJob(JOB))?.entries).toHaveLength(230);
});

test("a thousand entries written offline go in batches of 1000", async () => {
  await writeMany(1001, v7());
  await sync();

  const sizes = bench.server.questions
    .map((question) => question.entries.length)
    .filter((size) => size > 0);
  expect(sizes).toEqual([1000, 1]);
  expect(bench.server.stored).toHaveLength(1001);
});

test("a refused entry leaves the job, stays readable with its reason, and stops nobody", async () => {
  bench.server.refuse = (entry) =>
    entry.body.step === "wash"
      ? { code: "unknown-step", message: "There is no such step." }
      : undefined;
  await appendEntry(tick("wash"));
  await appendEntry(tick("look"));
  await sync();

  expect(await listRefused()).toMatchObject([
    { code: "unknown-step", message: "There is no such step.", entry: { body: { step: "wash" } } },
  ]);
  expect(await countKept()).toMatchObject({ entries: 0, refused: 1 });
  expect((await listJobs())[0]?.summary.done).toBe(1);
});

test("a lost answer is repeated without a second entry", async () => {
  await appendEntry(tick());
  const { fetch } = bench.server;
  let lost = true;
  const flaky = connect(
    Object.assign(bench.server, {
      fetch: async (url: string, init: RequestInit) => {
        const answer = await fetch(url, init);
        if (!lost) return answer;
        lost = false;
        throw new TypeError("connection reset");
      },
    }),
  );
  const first = await flaky.syncer.sync({ force: true });
  const second = await flaky.syncer.sync({ force: true });

  expect([first.ok, second.ok]).toEqual([false, true]);
  expect(bench.server.stored).toHaveLength(1);
  expect((await countKept()).entries).toBe(0);
});

test("no connection keeps everything and says so", async () => {
  bench.server.online = false;
  await appendEntry(tick());
  const outcome = await sync();

  expect(outcome).toMatchObject({ ok: false });
  expect(await getSyncFacts()).toMatchObject({ problem: "offline" });
  expect((await countKept()).entries).toBe(1);
});

test("a revoked token keeps everything and asks to sign in; after that the same entries go", async () => {
  await appendEntry(tick());
  bench.server.token = "new-token";
  const outcome = await sync();
  expect(outcome.ok).toBe(false);
  expect(await getSyncFacts()).toMatchObject({ problem: "sign-in" });
  expect((await countKept()).entries).toBe(1);

  await enrol({ device: DEVICE, token: "new-token" }, MIRA);
  await sync();
  expect(bench.server.stored).toHaveLength(1);
  expect(await getSyncFacts()).toMatchObject({ problem: null });
});

test("a hole in the server's numbers stops there, keeps what was whole, and asks again from the cursor", async () => {
  for (let n = 0; n < 3; n += 1)
    bench.server.add(makeEntry({ kind: "note", body: { text: `${n}` } }));
  const whole = bench.server.stored;
  bench.server.stored = whole.filter((each) => each.seq !== 2);
  const outcome = await sync();
  expect(outcome).toMatchObject({ ok: false });
  expect(await getSyncFacts()).toMatchObject({ problem: "gap", cursor: 1 });

  bench.server.stored = whole;
  await sync();
  expect(await getSyncFacts()).toMatchObject({ problem: null, cursor: 3 });
});

test("a restored server is offered everything again and fetched from the start", async () => {
  await appendEntry(tick());
  bench.server.add(makeEntry({ kind: "note", body: { text: "from the desk" } }));
  await sync();
  bench.server.epoch = "22222222-2222-4222-8222-222222222222";
  bench.server.stored = [];
  bench.server.add(makeEntry({ kind: "note", body: { text: "after the restore" } }));
  await sync();

  expect(bench.server.stored.map((each) => each.entry.kind).sort()).toEqual(["note", "tick"]);
  expect(await getSyncFacts()).toMatchObject({
    epoch: bench.server.epoch,
    cursor: 2,
    problem: null,
  });
  expect((await countKept()).entries).toBe(0);
});

test("an entry that makes the server fail does not hold up the others", async () => {
  const poison = tick("wash");
  await appendEntry(tick("look"));
  await appendEntry(poison);
  await appendEntry(tick("stem"));
  bench.server.misbehave = (question) =>
    question.entries.some((entry) => entry.id === poison.id)
      ? new Response("no", { status: 500 })
      : undefined;
  const outcome = await sync();

  expect(outcome.ok).toBe(true);
  expect(outcome.message).toContain("1 entry");
  expect(bench.server.stored).toHaveLength(2);
  expect((await countKept()).entries).toBe(1);
});

test("one such entry among many is found by few requests", async () => {
  const poison = tick("wash");
  for (let n = 0; n < 100; n += 1) await appendEntry({ ...tick(), job: v7() });
  await appendEntry(poison);
  for (let n = 0; n < 100; n += 1) await appendEntry({ ...tick(), job: v7() });
  bench.server.misbehave = (question) =>
    question.entries.some((entry) => entry.id === poison.id)
      ? new Response("no", { status: 500 })
      : undefined;
  const before = bench.server.questions.length;
  await sync();

  expect(bench.server.stored).toHaveLength(200);
  expect(bench.server.questions.length - before).toBeLessThan(40);
  expect(await listUnsent(10)).toMatchObject([{ id: poison.id }]);
});

test("a server that takes no request is not asked once for each entry", async () => {
  for (let n = 0; n < 50; n += 1) await appendEntry({ ...tick(), job: v7() });
  bench.server.misbehave = () =>
    Response.json({ code: "bad-request", message: "Not like this." }, { status: 400 });
  const before = bench.server.questions.length;
  const outcome = await sync();

  expect(outcome).toMatchObject({ ok: false, message: "Not like this." });
  expect(bench.server.questions.length - before).toBeLessThan(8);
  expect((await countKept()).entries).toBe(50);
});

test("an answer that is no answer of ours is refused whole, and nothing is lost", async () => {
  await appendEntry(tick());
  bench.server.misbehave = () => Response.json({ epoch: 5 });
  const outcome = await sync();

  expect(outcome.ok).toBe(false);
  expect(outcome.message).toContain("epoch");
  expect((await countKept()).entries).toBe(1);
});

test("kinds this version does not know are kept as they came", async () => {
  const unknown = makeEntry({ v: 7, kind: "weighed", body: { grams: 900 } });
  bench.server.add({ ...unknown, extra: "field" } as never);
  await sync();

  expect((await findJob(JOB))?.entries[0]).toMatchObject({ v: 7, kind: "weighed", extra: "field" });
});

test("a copied profile takes the new name it is given and starts its own count", async () => {
  await appendEntry(tick());
  bench.server.copy = { id: "0190a000-0000-7000-8000-0000000000d9", token: bench.server.token };
  await sync();
  const next = await appendEntry(tick("wash"));

  expect((await findDevice())?.device).toBe("0190a000-0000-7000-8000-0000000000d9");
  expect(next).toMatchObject({ device: "0190a000-0000-7000-8000-0000000000d9", n: 1 });
});

test("two syncs at once are one", async () => {
  await appendEntry(tick());
  const asked = bench.server.questions.length;
  const [one, other] = await Promise.all([sync(), sync()]);

  expect(one).toBe(other);
  expect(bench.server.questions.length).toBe(asked + 1);
});
