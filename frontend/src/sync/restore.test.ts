/* A server restored from a backup: do all phones and the server come to the same again, with nothing lost unseen? */
import { v7 } from "uuid";
import { beforeEach, expect, test } from "vitest";
import type { Entry } from "../journal/entry";
import { fold } from "../journal/fold";
import { appendEntry, appendPhoto } from "../store/append";
import { closeDatabase } from "../store/database";
import { findJob, listJobs } from "../store/jobs";
import { getSyncFacts } from "../store/meta";
import { countKept, listLost } from "../store/outbox";
import { startEpoch } from "../store/restore";
import { findWalkIn, keepWalkIn } from "../store/walk-ins";
import {
  type Bench,
  DEVICE,
  JOB,
  MIRA,
  makeBench,
  makeEntry,
  makeHeader,
  NOW,
} from "../testing/bench";

const AGAIN = "22222222-2222-4222-8222-222222222222";
const OTHER_JOB = "0190a000-0000-7000-8000-00000000000b";

let bench: Bench;

beforeEach(async () => {
  bench = await makeBench();
});

const sync = () => bench.syncer.sync({ force: true });

function write(step: string): Promise<Entry> {
  const facts = { id: v7(), job: JOB, by: MIRA, at: NOW.toISOString(), supersedes: [] };
  return appendEntry({ ...facts, kind: "tick", body: { step, outcome: "done" } });
}

function other(text: string): Entry {
  const entry = makeEntry({ kind: "note", body: { text } });
  bench.server.add(entry);
  return entry;
}

/** What the phone shows and what the server has must come to the same. */
async function expectAgreement(): Promise<void> {
  const there = bench.server.stored.map(({ entry }) => entry).filter(({ job }) => job === JOB);
  expect(fold((await findJob(JOB))?.entries ?? [])).toEqual(fold(there));
}

test("all that was made here is offered again and gets its new number", async () => {
  const mine = [await write("look"), await write("wash")];
  await sync();
  bench.server.restore(0, AGAIN);
  other("after the restore");
  await sync();

  const there = bench.server.stored.map(({ entry }) => entry.id);
  expect(there).toEqual(expect.arrayContaining(mine.map(({ id }) => id)));
  expect(await getSyncFacts()).toMatchObject({
    ...{ epoch: AGAIN, cursor: 3, era: 1, restoring: false, problem: null },
  });
  expect((await countKept()).entries).toBe(0);
  await expectAgreement();
});

test("what others wrote and the backup lacks counts no longer, and stays readable", async () => {
  const kept = other("in the backup");
  const lost = other("not in the backup");
  await sync();
  bench.server.restore(1, AGAIN);
  await sync();

  expect((await findJob(JOB))?.entries.map(({ id }) => id)).toEqual([kept.id]);
  expect((await listLost()).map(({ entry }) => entry)).toEqual([lost]);
  expect((await countKept()).lost).toBe(1);
  await expectAgreement();
});

test("it counts again when the phone that wrote it brings it", async () => {
  const lost = other("not in the backup");
  await sync();
  bench.server.restore(0, AGAIN);
  await sync();
  bench.server.add(lost);
  await sync();

  expect((await findJob(JOB))?.entries).toEqual([lost]);
  expect(await listLost()).toEqual([]);
  await expectAgreement();
});

test("the restored server is told what the one before had refused", async () => {
  bench.server.refuse = ({ body }) =>
    body.step === "wash"
      ? { code: "unknown-person", message: "Nobody of this workshop." }
      : undefined;
  await write("look");
  const refused = await write("wash");
  await sync();
  bench.server.restore(0, AGAIN);
  await sync();

  const told = bench.server.questions.at(-1)?.set_aside;
  expect(told).toEqual([{ device: DEVICE, ns: [refused.n] }]);
});

test("numbers that the restored server gives out anew do not hide entries", async () => {
  for (let n = 0; n < 5; n += 1) other(`before ${n}`);
  await sync();
  bench.server.restore(2, AGAIN);
  const fresh = [other("anew 3"), other("anew 4"), other("anew 5")];
  await sync();

  const ids = (await findJob(JOB))?.entries.map(({ id }) => id);
  expect(ids).toEqual(expect.arrayContaining(fresh.map(({ id }) => id)));
  expect(ids).toHaveLength(5);
  await expectAgreement();
});

test("a job opened after the backup leaves the list; its entries are refused or lost, not gone", async () => {
  bench.server.jobs = [...bench.server.jobs, makeHeader({ id: OTHER_JOB, number: "J-0043" })];
  bench.server.epoch = AGAIN;
  await sync();
  expect(await listJobs()).toHaveLength(2);

  bench.server.add(makeEntry({ job: OTHER_JOB }));
  await sync();
  bench.server.jobs = bench.server.jobs.slice(0, 1);
  bench.server.restore(0, "33333333-3333-4333-8333-333333333333");
  await sync();

  expect((await listJobs()).map(({ header }) => header.number)).toEqual(["J-0042"]);
  expect((await listLost()).map(({ job }) => job)).toEqual([OTHER_JOB]);
});

async function takeIn(id: string): Promise<void> {
  const { route: steps, ...header } = makeHeader({ id, number: "" });
  const { traits, service, says, go_ahead_minor, opened_at } = header;
  const route = "e".repeat(64);
  const told = { customer_name: "Rosa", phone: "", bike_words: "red tandem", by: MIRA };
  const facts = { traits, service, says, go_ahead_minor, opened_at, catalogue: "c", route };
  await keepWalkIn({ ...told, ...facts }, { ...header, route }, steps);
}

test("a walk-in that the backup lacks is told again, and its entries follow in the same sync", async () => {
  await takeIn(OTHER_JOB);
  const facts = { id: v7(), job: OTHER_JOB, by: MIRA, at: NOW.toISOString(), supersedes: [] };
  await appendEntry({ ...facts, kind: "note", body: { text: "no bell" } });
  await sync();
  bench.server.walkIns.clear();
  bench.server.restore(0, AGAIN);
  bench.server.refuse = ({ job }) =>
    job === OTHER_JOB && !bench.server.walkIns.has(job)
      ? { code: "unknown-job", message: "No such job." }
      : undefined;
  await sync();

  expect([...bench.server.walkIns.keys()]).toEqual([OTHER_JOB]);
  expect(bench.server.stored.map(({ entry }) => entry.body.text)).toEqual(["no bell"]);
  expect(await countKept()).toMatchObject({ entries: 0, walkIns: 0, refused: 0 });
});

test("what was told of a customer stays no longer than the bike", async () => {
  await takeIn(OTHER_JOB);
  await sync();
  expect(await findWalkIn(OTHER_JOB)).toBeDefined();

  bench.server.add(makeEntry({ job: OTHER_JOB, kind: "collected", body: {} }));
  await sync();
  expect(await findWalkIn(OTHER_JOB)).toBeUndefined();
});

test("photos that the server has had are offered again too", async () => {
  const sha256 = "a".repeat(64);
  const bytes = new Uint8Array([1, 2, 3]).buffer;
  const facts = { id: v7(), job: JOB, by: MIRA, at: NOW.toISOString(), supersedes: [] };
  await appendPhoto(
    { ...facts, kind: "photo", body: { sha256, mime: "image/jpeg" } },
    { sha256, job: JOB, mime: "image/jpeg", bytes, kept_at: NOW.toISOString() },
  );
  await sync();
  await bench.syncer.photos({ force: true });
  bench.server.photos.whole.clear();
  bench.server.photos.parts.clear();
  bench.server.restore(0, AGAIN);
  await sync();
  await bench.syncer.photos({ force: true });

  expect(bench.server.photos.whole.has(sha256)).toBe(true);
});

test("a phone that dies while it fetches everything again finishes it later", async () => {
  const lost = [other("one"), other("two"), other("three")];
  await sync();
  bench.server.restore(1, AGAIN);
  await startEpoch(AGAIN);
  closeDatabase();
  expect((await getSyncFacts()).restoring).toBe(true);
  await sync();

  expect((await getSyncFacts()).restoring).toBe(false);
  expect((await listLost()).map(({ id }) => id).sort()).toEqual(
    lost
      .slice(1)
      .map(({ id }) => id)
      .sort(),
  );
  await expectAgreement();
});

test("restored twice in a row, it still ends up the same", async () => {
  other("one");
  await write("look");
  await sync();
  bench.server.restore(0, AGAIN);
  await sync();
  bench.server.restore(0, "33333333-3333-4333-8333-333333333333");
  await sync();

  expect(bench.server.stored).toHaveLength(1);
  expect(await getSyncFacts()).toMatchObject({ era: 2, cursor: 1 });
  await expectAgreement();
});
