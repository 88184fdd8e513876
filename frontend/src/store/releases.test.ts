/* Does the work of a phone that was never updated since any earlier release still arrive, byte for byte? */
import "fake-indexeddb/auto";
import { readdirSync, readFileSync } from "node:fs";
import { beforeEach, describe, expect, test } from "vitest";
import type { Entry } from "../journal/entry";
import { fold } from "../journal/fold";
import {
  type Bench,
  connect,
  DEVICE,
  freshDatabase,
  JOB,
  MIRA,
  makeEntry,
  NOW,
  WORKSHOP,
} from "../testing/bench";
import { FakeServer } from "../testing/fake-server";
import { thawDatabase } from "../testing/frozen";
import { SECOND_JOB } from "../testing/season";
import { appendEntry } from "./append";
import { openDatabase } from "./database";
import { findJob, listJobs } from "./jobs";
import { findDevice, listFormer } from "./meta";
import { countKept, listKeptEntries } from "./outbox";
import { listRefusedPhotos } from "./photos";
import { listRefused } from "./refused";
import { DATABASE_VERSION } from "./schema";

const RELEASES = new URL("../../../fixtures/releases/", import.meta.url);

type Expected = {
  unsent: string[];
  refused: string[];
  /** From version 2 on. */
  walk_ins?: string[];
  states: Record<string, object>;
};

function read(release: string, name: string): string {
  return readFileSync(new URL(`${release}/${name}`, RELEASES), "utf8");
}

const releases = readdirSync(RELEASES);

test("every version of the database that was ever released is frozen", () => {
  const versions = Array.from({ length: DATABASE_VERSION }, (_, at) => String(at + 1));

  expect([...releases].sort((one, other) => Number(one) - Number(other))).toEqual(versions);
});

/** Names of the stores, each with its indexes. */
async function shape(): Promise<Record<string, string[]>> {
  const database = await openDatabase();
  const names = [...database.objectStoreNames];
  const tx = database.transaction(names);
  return Object.fromEntries(
    names.map((name) => [name, [...tx.objectStore(name).indexNames].sort()]),
  );
}

test("the newest one has the stores and indexes of today: a change of them is a new version", async () => {
  freshDatabase();
  const today = await shape();
  freshDatabase();
  await thawDatabase(read(String(DATABASE_VERSION), "database.json"));

  expect(await shape()).toEqual(today);
});

describe.each(releases)("a phone of version %s", (release) => {
  const expected = JSON.parse(read(release, "expected.json")) as Expected;
  let server: FakeServer;
  let bench: Bench;

  beforeEach(async () => {
    freshDatabase();
    await thawDatabase(read(release, "database.json"));
    server = new FakeServer();
    bench = connect(server);
  });

  const sentTexts = () => {
    const [question] = server.questions;
    return question?.entries.map((entry) => JSON.stringify(entry)).sort();
  };

  test("says the same of its jobs as on the day it was frozen", async () => {
    const states = await Promise.all(
      [JOB, SECOND_JOB].map(async (id) => fold((await findJob(id))?.entries ?? [])),
    );

    expect(states[0]).toMatchObject(expected.states[JOB] ?? {});
    expect(states[1]).toMatchObject(expected.states[SECOND_JOB] ?? {});
    const numbers = (await listJobs()).map(({ header }) => header.number);
    expect(numbers).toEqual(expect.arrayContaining(["J-0042", "J-0043"]));
  });

  test("sends every unsent entry unchanged, its photo, and the bikes it took in", async () => {
    server.workshop = WORKSHOP;
    await bench.syncer.sync({ force: true });
    await bench.syncer.photos({ force: true });

    expect(sentTexts()).toEqual([...expected.unsent].sort());
    expect(await countKept()).toMatchObject({ entries: 0, photos: 0, walkIns: 0 });
    expect([...server.walkIns.keys()]).toEqual(expected.walk_ins ?? []);
    const pictures = [...server.photos.whole.values()].map((each) =>
      new TextDecoder().decode(each),
    );
    expect(pictures).toContain("a picture that waits");
  });

  test("still shows what was refused, with its reason", async () => {
    const rows = await listRefused();

    expect(rows.map((row) => JSON.stringify(row.entry))).toEqual(expected.refused);
    expect(rows[0]).toMatchObject({ code: "id-reused" });
    expect(await listRefusedPhotos()).toMatchObject([{ refused: "That is no picture." }]);
    expect((await countKept()).refused).toBe(2);
  });

  test("knows its names, and goes on counting where it was", async () => {
    const device = (await findDevice())?.device;
    const before = (await listKeptEntries()).filter((entry) => entry.device === device);
    const body = { step: "wash", outcome: "done" };
    const facts = { job: JOB, kind: "tick", by: MIRA, at: NOW.toISOString(), supersedes: [] };
    const next = await appendEntry({ id: crypto.randomUUID(), ...facts, body });

    expect(await listFormer()).toEqual([DEVICE]);
    expect(next.n).toBe(Math.max(...before.map((entry: Entry) => entry.n)) + 1);
  });

  test("takes in what is new to it", async () => {
    for (let n = 0; n < 9; n += 1) server.add(makeEntry({ kind: "note", body: { text: `${n}` } }));
    server.add(makeEntry({ kind: "note", body: { text: "after the update" } }));
    await bench.syncer.sync({ force: true });

    expect(fold((await findJob(JOB))?.entries ?? []).notes.map((note) => note.body.text)).toContain(
      "after the update",
    );
  });

  test("is at the newest version once it was opened", async () => {
    expect((await openDatabase()).version).toBe(DATABASE_VERSION);
  });
});
