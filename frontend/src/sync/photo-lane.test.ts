import { v7 } from "uuid";
import { beforeEach, expect, test, vi } from "vitest";
import { appendPhoto } from "../store/append";
import { getSyncFacts } from "../store/meta";
import { countKept } from "../store/outbox";
import { findPhoto, listRefusedPhotos, sendPhotoAgain } from "../store/photos";
import { findThumb } from "../store/thumbs";
import { type Bench, connect, JOB, MIRA, makeBench, makeEntry, NOW } from "../testing/bench";

const CHUNK = 128 * 1024;

let bench: Bench;

beforeEach(async () => {
  bench = await makeBench();
});

async function takePhoto(name: string, size = 10, at = NOW): Promise<string> {
  const sha256 = name.repeat(64);
  const bytes = new Uint8Array(size).map((_, place) => place % 251).buffer;
  const body = { sha256, mime: "image/jpeg", width: 4, height: 3, bytes: size, phase: "found" };
  const facts = { id: v7(), job: JOB, by: MIRA, at: at.toISOString(), supersedes: [] };
  await appendPhoto(
    { ...facts, kind: "photo", body },
    { sha256, job: JOB, mime: "image/jpeg", bytes, kept_at: at.toISOString() },
  );
  return sha256;
}

const send = () => bench.syncer.photos({ force: true });
const pieces = () => bench.server.asked.filter((each) => each.startsWith("PATCH")).length;

test("a photo goes in pieces of 128 KiB and arrives whole", async () => {
  const sha256 = await takePhoto("a", 2 * CHUNK + 5);
  const outcome = await send();

  expect(outcome).toMatchObject({ ok: true, sent: 1 });
  expect(pieces()).toBe(3);
  const arrived = Buffer.from(bench.server.photos.whole.get(sha256) ?? []);
  expect(arrived.equals(Buffer.from((await findPhoto(sha256))?.bytes ?? new ArrayBuffer()))).toBe(
    true,
  );
  expect((await countKept()).photos).toBe(0);
});

test("after a cut it goes on where it was, with no piece sent twice", async () => {
  const sha256 = await takePhoto("a", 3 * CHUNK);
  const { fetch } = bench.server;
  let left = 2;
  const cut = connect(
    Object.assign(bench.server, {
      fetch: (url: string, init: RequestInit) => {
        if (init.method === "PATCH" && left-- === 0) throw new TypeError("cut");
        return fetch(url, init);
      },
    }),
  );
  const first = await cut.syncer.photos({ force: true });
  const second = await cut.syncer.photos({ force: true });

  expect([first.ok, second.ok]).toEqual([false, true]);
  expect(bench.server.photos.whole.get(sha256)).toHaveLength(3 * CHUNK);
  expect(pieces()).toBe(3);
});

test("a server that has more or less than thought says where to go on", async () => {
  const sha256 = await takePhoto("a", 2 * CHUNK);
  const { photos } = bench.server;
  const answer = photos.answer.bind(photos);
  vi.spyOn(photos, "answer").mockImplementation(async (url, request) => {
    if (request.method === "HEAD")
      return new Response(null, { status: 404, headers: { "Upload-Offset": String(CHUNK) } });
    return answer(url, request);
  });
  await send();

  expect(photos.whole.get(sha256)).toHaveLength(2 * CHUNK);
});

test("a server that never agrees on the place is left alone until later", async () => {
  await takePhoto("a", 2 * CHUNK);
  const stuck = new Response(null, { status: 409, headers: { "Upload-Offset": "0" } });
  vi.spyOn(bench.server.photos, "answer").mockImplementation(async () => stuck.clone());
  const outcome = await send();

  expect(outcome.ok).toBe(false);
  expect((await countKept()).photos).toBe(1);
});

test("a page of somebody on the way is neither the server's word nor a picture", async () => {
  await takePhoto("a", 9);
  const page = { headers: { "Content-Type": "text/html" } };
  vi.spyOn(bench.server.photos, "answer").mockImplementation(
    async () => new Response("<h1>Welcome</h1>", page),
  );
  const outcome = await send();

  expect(outcome.ok).toBe(false);
  expect((await countKept()).photos).toBe(1);
});

test("what the server has already is not sent again", async () => {
  const sha256 = await takePhoto("a", 9);
  bench.server.photos.whole.set(sha256, new Uint8Array(9));
  await send();

  expect(pieces()).toBe(0);
  expect((await countKept()).photos).toBe(0);
});

test("the newest photo goes first", async () => {
  const older = await takePhoto("f", 9, new Date(NOW.getTime() - 60_000));
  const newer = await takePhoto("0", 9, NOW);
  await send();

  const order = bench.server.asked.filter((each) => each.startsWith("PATCH"));
  expect(order).toEqual([`PATCH /api/photos/${newer}`, `PATCH /api/photos/${older}`]);
});

test("a photo that cannot be sent holds up no entry, and says why", async () => {
  await takePhoto("a");
  bench.server.photos.trouble = { status: 507, message: "The server's disk is full." };
  const entries = await bench.syncer.sync({ force: true });
  const photos = await send();

  expect([entries.ok, photos.ok]).toEqual([true, false]);
  expect(bench.server.stored.map(({ entry }) => entry.kind)).toEqual(["photo"]);
  expect(await getSyncFacts()).toMatchObject({
    problem: null,
    photos_message: "The server's disk is full.",
  });
  expect((await countKept()).photos).toBe(1);
});

test("a refused photo stays with its reason and can be sent again", async () => {
  const sha256 = await takePhoto("a");
  bench.server.photos.trouble = { status: 422, message: "That is no picture." };
  await send();
  expect(await listRefusedPhotos()).toMatchObject([{ refused: "That is no picture." }]);

  bench.server.photos.trouble = undefined;
  await sendPhotoAgain(sha256);
  await send();
  expect(bench.server.photos.whole.has(sha256)).toBe(true);
  expect(await countKept()).toMatchObject({ photos: 0, refused: 0 });
});

function addPhotoOfOthers(name: string): string {
  const sha256 = name.repeat(64);
  const body = { sha256, mime: "image/jpeg", width: 4, height: 3, bytes: 9, phase: "found" };
  bench.server.add(makeEntry({ kind: "photo", body }));
  return sha256;
}

test("photos of others come small, once their own phone has sent them", async () => {
  const sha256 = addPhotoOfOthers("b");
  await bench.syncer.sync({ force: true });
  await send();
  expect(await findThumb(sha256)).toBeUndefined();

  bench.server.photos.whole.set(sha256, new Uint8Array([7, 7]));
  await send();
  expect(await findThumb(sha256), "not asked for again at once").toBeUndefined();

  const later = connect(bench.server, new Date(NOW.getTime() + 10 * 60_000));
  const outcome = await later.syncer.photos({ force: true });
  expect(outcome).toMatchObject({ ok: true, fetched: 1 });
  expect(new Uint8Array((await findThumb(sha256)) ?? new ArrayBuffer())).toEqual(
    new Uint8Array([7, 7]),
  );
  expect(later.changed).toEqual([{ jobs: [JOB], from: undefined }]);
});

test("what this phone took itself is not fetched small", async () => {
  await takePhoto("a");
  await bench.syncer.sync({ force: true });
  await send();
  bench.server.asked = [];
  await send();

  expect(bench.server.asked).toEqual([]);
});

test("a bike that left the house takes its small pictures along", async () => {
  const sha256 = addPhotoOfOthers("b");
  bench.server.photos.whole.set(sha256, new Uint8Array([7]));
  await bench.syncer.sync({ force: true });
  await send();
  expect(await findThumb(sha256)).toBeDefined();

  bench.server.add(makeEntry({ kind: "collected", body: {} }));
  await bench.syncer.sync({ force: true });
  await send();
  expect(await findThumb(sha256)).toBeUndefined();
});

test("a redacted photo is not kept, small or whole", async () => {
  const sha256 = addPhotoOfOthers("b");
  const [photo] = bench.server.stored.slice(-1);
  bench.server.photos.whole.set(sha256, new Uint8Array([7]));
  await bench.syncer.sync({ force: true });
  await send();
  const body = { entry: photo?.entry.id ?? "", reason: "a face" };
  bench.server.add(makeEntry({ kind: "redacted", body }));
  await bench.syncer.sync({ force: true });

  expect(await findThumb(sha256)).toBeUndefined();
});
