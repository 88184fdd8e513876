/* A phone that was signed out: nothing of the shop stays on it, and nothing that only it has is lost. */
import { v7 } from "uuid";
import { beforeEach, expect, test } from "vitest";
import { appendEntry, appendPhoto, type NewEntry } from "../store/append";
import { openDatabase } from "../store/database";
import { enrol } from "../store/enrolment";
import { findJob, findJobInWords, listJobs } from "../store/jobs";
import { findDevice, findWorkshop, getSyncFacts, listFormer } from "../store/meta";
import { countKept, exportEntries, listKeptEntries, listLost } from "../store/outbox";
import { findPhoto } from "../store/photos";
import { listRefused } from "../store/refused";
import {
  type Bench,
  DEVICE,
  JOB,
  MIRA,
  makeBench,
  makeEntry,
  makeHeader,
  NOW,
  WORKSHOP,
} from "../testing/bench";

const OTHER_JOB = "0190a000-0000-7000-8000-00000000000b";
const NEW_DEVICE = "0190a000-0000-7000-8000-0000000000d7";
const HOME = { id: "w1", name: WORKSHOP.name };
const ELSEWHERE = { id: "w2", name: "Lockside Cycles" };

let bench: Bench;

beforeEach(async () => {
  bench = await makeBench();
  bench.server.jobs.push(makeHeader({ id: OTHER_JOB, number: "J-0043" }));
  await enrol({ device: DEVICE, token: bench.server.token }, MIRA, HOME);
});

function write(kind: string, body: NewEntry["body"]): NewEntry {
  return { id: v7(), job: JOB, kind, by: MIRA, at: NOW.toISOString(), body, supersedes: [] };
}

async function takePhoto(name: string): Promise<string> {
  const sha256 = name.repeat(64);
  const bytes = new Uint8Array([1, 2, 3]).buffer;
  await appendPhoto(write("photo", { sha256, mime: "image/jpeg" }), {
    ...{ sha256, job: JOB, mime: "image/jpeg", bytes, kept_at: NOW.toISOString() },
  });
  return sha256;
}

const sync = () => bench.syncer.sync({ force: true });

/** Something sent, something of others, something refused, something unsent: then the desk signs it out. */
async function workAndBeSignedOut(): Promise<{ sent: string; waiting: string }> {
  bench.server.add(makeEntry({ kind: "note", body: { text: "of others" } }));
  const sent = await takePhoto("a");
  bench.server.refuse = ({ body }) =>
    body.text === "no" ? { code: "unknown-person", message: "Nobody wrote this." } : undefined;
  await appendEntry(write("note", { text: "no" }));
  await sync();
  await bench.syncer.photos({ force: true });
  await appendEntry(write("note", { text: "kept" }));
  const waiting = await takePhoto("b");
  bench.server.revoked.add(bench.server.token);
  bench.changed.length = 0;
  await sync();
  return { sent, waiting };
}

test("everything goes but what only this phone has", async () => {
  const { sent, waiting } = await workAndBeSignedOut();

  expect((await listKeptEntries()).map(({ kind }) => kind)).toEqual(["note", "photo"]);
  expect(await findPhoto(waiting)).toMatchObject({ bytes: expect.any(ArrayBuffer) });
  expect(await findPhoto(sent)).toBeUndefined();
  expect(await listRefused()).toMatchObject([{ entry: { body: { text: "no" } } }]);
  const database = await openDatabase();
  const counts = await Promise.all(
    (["entries", "headers", "jobs", "routes", "thumbs", "lost"] as const).map((name) =>
      database.count(name),
    ),
  );
  expect(counts).toEqual([2, 1, 1, 1, 0, 0]);
  expect(await listJobs()).toEqual([]);
});

test("what is kept can still be said in words: its job, its route and who wrote it", async () => {
  await workAndBeSignedOut();
  const html = await (await bench.get("/bench/kept")).text();

  expect(html).toContain("J-0042: Note: kept");
  expect(html).toContain("signed out of the workshop");
  expect(html).not.toContain("Send again");
  expect((await findJobInWords(JOB))?.header.route).toHaveLength(6);
  const workshop = await findWorkshop();
  expect(workshop?.people.map(({ name }) => name)).toEqual(["Mira"]);
  expect(workshop?.instruments).toEqual([]);
});

test("the bench is gone, and the page that makes it known again hears what waits", async () => {
  await workAndBeSignedOut();

  expect(await findDevice()).toBeUndefined();
  expect((await bench.get("/bench/")).status).toBe(404);
  expect(await (await bench.get("/bench/device")).json()).toMatchObject({
    enrolled: false,
    revoked: true,
    former: [DEVICE],
    kept: { entries: 2, photos: 1, refused: 1 },
  });
  const file = (await (await bench.get("/bench/kept/export")).json()) as {
    unsent: unknown[];
    photos: Array<{ bytes: string }>;
  };
  expect(file.unsent).toHaveLength(2);
  expect(file.photos[0]?.bytes).toBe("AQID");
  expect(bench.changed).toEqual([{ jobs: [], from: "signed out" }]);
});

test("made known to the same workshop again, what was kept goes out as it was written", async () => {
  await workAndBeSignedOut();
  const kept = await listKeptEntries();
  bench.server.token = "new-token";
  await enrol({ device: NEW_DEVICE, token: "new-token" }, MIRA, HOME);
  await sync();
  await bench.syncer.photos({ force: true });

  expect(bench.server.questions.at(-1)?.device).toBe(NEW_DEVICE);
  const there = bench.server.stored.map(({ entry }) => entry);
  expect(there).toEqual(expect.arrayContaining(kept));
  expect(kept.every(({ device }) => device === DEVICE)).toBe(true);
  expect(await countKept()).toMatchObject({ entries: 0, photos: 0, refused: 1 });
  expect(await listJobs()).toHaveLength(2);
  expect(await getSyncFacts()).toMatchObject({ problem: null });
});

test("made known to another workshop, what was kept is set aside and never sent there", async () => {
  await workAndBeSignedOut();
  const waiting = (await listKeptEntries()).map(({ id }) => id);
  bench.server.token = "new-token";
  bench.server.stored = [];
  bench.server.jobs = [];
  bench.server.epoch = "99999999-9999-4999-8999-999999999999";
  await enrol({ device: NEW_DEVICE, token: "new-token" }, undefined, ELSEWHERE);
  await sync();
  await bench.syncer.photos({ force: true });
  for (const { id } of await listRefused())
    await bench.post(`/bench/kept/entry/${id}/again`, {}, { "HX-Request": "" });

  expect(bench.server.stored.filter(({ entry }) => waiting.includes(entry.id))).toEqual([]);
  const set = (await listRefused()).filter(({ code }) => code === "other-workshop");
  expect(set.map(({ id }) => id).sort()).toEqual([...waiting].sort());
  expect(await countKept()).toMatchObject({ entries: 0, photos: 0 });
  expect(await listJobs()).toEqual([]);
  expect(await listLost()).toEqual([]);
  expect((await bench.get(`/bench/jobs/${JOB}`)).status, "not to be worked on here").toBe(410);
  expect(await (await bench.get("/bench/kept")).text()).toContain("J-0042: Note: kept");
  expect((await exportEntries()).refused.length).toBeGreaterThanOrEqual(2);
});

test("back in the workshop it was written for, it goes out after all", async () => {
  await workAndBeSignedOut();
  const kept = await listKeptEntries();
  await enrol({ device: NEW_DEVICE, token: "elsewhere" }, undefined, ELSEWHERE);
  bench.server.token = "home-again";
  const third = "0190a000-0000-7000-8000-0000000000d8";
  await enrol({ device: third, token: "home-again" }, MIRA, HOME);
  await sync();

  expect(bench.server.stored.map(({ entry }) => entry)).toEqual(expect.arrayContaining(kept));
  expect(await listFormer()).toEqual([DEVICE, NEW_DEVICE]);
});

test("asked to sync while it belongs to no workshop, it goes on saying why", async () => {
  await workAndBeSignedOut();
  const asked = bench.server.asked.length;
  const outcome = await sync();

  expect(outcome).toMatchObject({ ok: false, message: "This phone was signed out." });
  expect(await getSyncFacts()).toMatchObject({ problem: "revoked" });
  expect(bench.server.asked).toHaveLength(asked);
});

test("names told by the sign-in page make old entries its own, on a database that was cleared", async () => {
  const old = "0190a000-0000-7000-8000-0000000000dd";
  await enrol({ device: NEW_DEVICE, token: bench.server.token }, MIRA, HOME, [old, NEW_DEVICE]);
  const entry = makeEntry({ device: old, kind: "note", body: { text: "from before" } });
  bench.server.add(entry);
  await sync();

  expect(await listFormer()).toEqual([DEVICE, old]);
  expect((await (await openDatabase()).get("entries", entry.id))?.own).toBe(true);
});

test("signed out by a server that was restored, it keeps what the server may not have any more", async () => {
  await appendEntry(write("note", { text: "sent before the restore" }));
  const photo = await takePhoto("c");
  await sync();
  await bench.syncer.photos({ force: true });
  expect(await listKeptEntries()).toEqual([]);
  bench.server.epoch = "22222222-2222-4222-8222-222222222222";
  bench.server.revoked.add(bench.server.token);
  await sync();

  expect(await getSyncFacts()).toMatchObject({ problem: "revoked" });
  expect((await listKeptEntries()).map(({ body }) => body.text ?? body.sha256)).toEqual([
    "sent before the restore",
    photo,
  ]);
  expect(await findPhoto(photo)).toMatchObject({ bytes: expect.any(ArrayBuffer) });
});

test("an unknown token takes nothing away and asks to sign in", async () => {
  bench.server.add(makeEntry());
  await sync();
  await appendEntry(write("note", { text: "kept" }));
  bench.server.token = "another";
  await sync();

  expect(await getSyncFacts()).toMatchObject({ problem: "sign-in" });
  expect((await findJob(JOB))?.entries).toHaveLength(2);
  expect((await bench.get("/bench/")).status).toBe(200);
});
