/* Is what is kept told truly, and can it be sent, sent again, taken off the list and carried away? */
import { v7 } from "uuid";
import { beforeEach, expect, test } from "vitest";
import { appendEntry, appendPhoto } from "../store/append";
import { noteScreen, noteSync } from "../store/meta";
import { countKept } from "../store/outbox";
import { keepWalkIn } from "../store/walk-ins";
import {
  type Bench,
  connect,
  JOB,
  MIRA,
  makeBench,
  makeEntry,
  makeHeader,
  NOW,
  OTTO,
} from "../testing/bench";

let bench: Bench;

beforeEach(async () => {
  bench = await makeBench();
});

const text = async (path: string) => (await bench.get(path)).text();
const truth = async () => plain(await text("/bench/truth"));
const kept = async () => plain(await text("/bench/kept"));
const plain = (html: string) =>
  html
    .replace(/<[^>]+>/g, " ")
    .replaceAll("&#39;", "'")
    .replace(/\s+/g, " ");
const sync = () => bench.syncer.sync({ force: true });

async function note(words: string, at = NOW): Promise<string> {
  const facts = { id: v7(), job: JOB, by: MIRA, at: at.toISOString(), supersedes: [] };
  return (await appendEntry({ ...facts, kind: "note", body: { text: words } })).id;
}

async function takePhoto(name: string): Promise<string> {
  const sha256 = name.repeat(64);
  const facts = { id: v7(), job: JOB, by: MIRA, at: NOW.toISOString(), supersedes: [] };
  const row = { sha256, job: JOB, mime: "image/jpeg", kept_at: NOW.toISOString() };
  const bytes = new Uint8Array([255, 216]).buffer;
  await appendPhoto({ ...facts, kind: "photo", body: { sha256 } }, { ...row, bytes });
  return sha256;
}

async function takeIn(): Promise<string> {
  const id = v7();
  const { route: steps, ...header } = makeHeader({ id, number: "" });
  const { traits, service, says, go_ahead_minor, opened_at } = header;
  const route = "e".repeat(64);
  const told = { customer_name: "Rosa", phone: "", bike_words: "red tandem", by: MIRA };
  const facts = { traits, service, says, go_ahead_minor, opened_at, catalogue: "c", route };
  await keepWalkIn({ ...told, ...facts }, { ...header, route }, steps);
  return id;
}

test("the line says how much is kept, since when, and why it is not going", async () => {
  expect(await truth()).toContain("All sent");
  await note("one", new Date("2026-03-02T09:05:00Z"));
  expect(await truth()).toContain("1 kept on this phone since 09:05");

  bench.server.online = false;
  await takePhoto("a");
  await takeIn();
  await sync();
  expect(await truth()).toContain(
    "2 entries, 1 photo and 1 bike taken in kept on this phone since 09:05, no connection",
  );
});

test("what waits since another day says the day", async () => {
  await note("one", new Date("2026-03-01T09:05:00Z"));

  expect(await truth()).toContain("1 kept on this phone since yesterday 09:05");
});

test.each([
  ["server", "the server has trouble"],
  ["gap", "the server has trouble"],
  ["phone", "this phone has trouble"],
  ["sign-in", "signed out"],
] as const)("a %s problem says so in the line", async (problem, words) => {
  await noteSync({ problem, message: "", since: NOW.toISOString() });
  expect(await truth()).toContain(`All sent; ${words}, last checked 10:15`);

  await note("one");
  expect(await truth()).toContain(`1 kept on this phone since 10:15, ${words}`);
});

test.each([
  [9 * 60_000, undefined],
  [11 * 60_000, "This phone's clock is 11 min slow."],
  [-3 * 3_600_000, "This phone's clock is 3 h fast."],
  [-40 * 86_400_000, "This phone's clock is 40 days fast."],
  [7 * 365 * 86_400_000, "This phone's clock is 7 years slow."],
])("a clock that is %s ms behind the server's is told when it matters", async (offset, words) => {
  await noteSync({ clock_offset_ms: offset });

  if (words) expect(await truth()).toContain(words);
  else expect(await truth()).not.toContain("clock");
});

test("a phone whose clock is wrong by years still shows and keeps everything", async () => {
  for (const year of ["1970-01-01", "2119-06-01"]) {
    const wrong = connect(bench.server, new Date(`${year}T00:00:00Z`));
    await wrong.syncer.sync({ force: true });
    const path = `/bench/jobs/${JOB}`;
    const answer = await wrong.post(`${path}/note`, { text: `written in ${year}` });

    expect(answer.status).toBeLessThan(400);
    for (const page of ["/bench/", "/bench/kept", path, `${path}/history`])
      expect((await wrong.get(page)).status).toBe(200);
  }
  await sync();
  expect(bench.server.stored).toHaveLength(2);
});

test("refused things are listed together, with reason and words, and sent again one by one", async () => {
  bench.server.refuse = () => ({ code: "unknown-person", message: "Nobody wrote this." });
  bench.server.refuseWalkIn = { code: "unreadable", message: "The bike has no kind." };
  bench.server.photos.trouble = { status: 422, message: "That is no picture." };
  const id = await note("<b>loose</b>");
  const photo = await takePhoto("a");
  const walkIn = await takeIn();
  await sync();
  await bench.syncer.photos({ force: true });
  const page = await kept();
  for (const words of ["Nobody wrote this.", "The bike has no kind.", "That is no picture."])
    expect(page).toContain(words);
  expect(page).toContain("J-0042: Note: &lt;b&gt;loose&lt;/b&gt;");
  expect(page).toContain("Bike taken in: red tandem, Rosa");
  expect(await truth()).toContain("4 refused");

  bench.server.refuse = () => undefined;
  bench.server.refuseWalkIn = undefined;
  bench.server.photos.trouble = undefined;
  for (const path of [`entry/${id}`, `walk-in/${walkIn}`, `photo/${photo}`])
    expect((await bench.post(`/bench/kept/${path}/again`, {})).headers.get("HX-Redirect")).toBe(
      "/bench/kept",
    );
  await bench.syncer.photos({ force: true });
  expect(bench.server.walkIns.has(walkIn)).toBe(true);
  expect(bench.server.photos.whole.has(photo)).toBe(true);
  expect(bench.server.stored.map(({ entry }) => entry.id)).toContain(id);
  expect(await countKept()).toMatchObject({ photos: 0, walkIns: 0, refused: 1 });
});

test("whatever is taken off the list can be brought back from the same page", async () => {
  bench.server.refuse = () => ({ code: "unknown-job", message: "No such job." });
  bench.server.refuseWalkIn = { code: "unreadable", message: "The bike has no kind." };
  bench.server.photos.trouble = { status: 422, message: "That is no picture." };
  const things = [
    `entry/${await note("one")}`,
    `photo/${await takePhoto("a")}`,
    `walk-in/${await takeIn()}`,
  ];
  await sync();
  await bench.syncer.photos({ force: true });
  const before = (await countKept()).refused;
  for (const thing of things) await bench.post(`/bench/kept/${thing}/off`, {});
  expect((await countKept()).refused).toBe(before - 3);
  expect(await kept()).toContain("3 taken off the list");

  for (const thing of things) await bench.post(`/bench/kept/${thing}/back`, {});
  expect((await countKept()).refused).toBe(before);
  expect(await kept()).not.toContain("taken off the list");
});

test("what a restored server lost is told, with what to do about it", async () => {
  bench.server.add(makeEntry({ kind: "note", body: { text: "the other phone's" } }));
  await sync();
  bench.server.restore(0, "22222222-2222-4222-8222-222222222222");
  await sync();

  const page = await kept();
  expect(page).toContain("1 entry of others is missing on the server");
  expect(page).toContain("J-0042: Note: the other phone's");
});

test("the page says who has which job open, and whether the storage is protected", async () => {
  bench.server.others = [{ job: JOB, by: OTTO, device: "Phone 2", at: NOW.toISOString() }];
  await noteScreen(null, "not protected");
  await sync();
  expect(await kept()).toContain("J-0042: Otto on Phone 2");
  expect(await kept()).toContain("The browser may clear what is kept here");

  await noteScreen(null, "protected");
  expect(await kept()).toContain("has promised not to clear");
});

test("the page on the screen and what the browser promised reach the server with the next sync", async () => {
  const headers = { "X-Open": JOB.toUpperCase(), "X-Storage": "protected", "X-Trigger": "" };
  await bench.post("/bench/sync", {}, headers);
  expect(bench.server.questions.at(-1)).toMatchObject({
    open: { job: JOB, by: MIRA },
    storage: "protected",
  });

  await bench.post("/bench/sync", {}, { ...headers, "X-Open": "", "X-Storage": "nonsense" });
  expect(bench.server.questions.at(-1)).toMatchObject({ open: null, storage: "" });
});

test("the saved file holds everything, photos too", async () => {
  const id = await note("carry me");
  await takePhoto("a");
  await takeIn();
  const file = (await (await bench.get("/bench/kept/export")).json()) as {
    unsent: Array<{ id: string }>;
    photos: Array<{ bytes: string }>;
    walk_ins: unknown[];
  };

  expect(file.unsent.map((entry) => entry.id)).toContain(id);
  expect(file.photos.map(({ bytes }) => bytes)).toEqual(["/9g="]);
  expect(file.walk_ins).toHaveLength(1);
});
