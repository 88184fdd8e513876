/* What a phone has after some days of work: every state an entry or a photo can be in. Frozen once a release. */
import { createHash } from "node:crypto";
import { v7 } from "uuid";
import type { JsonObject } from "../journal/values";
import { appendEntry, appendPhoto, type NewEntry } from "../store/append";
import { enrol } from "../store/enrolment";
import { keepThumb, wantThumbs } from "../store/thumbs";
import { keepWalkIn } from "../store/walk-ins";
import { type Bench, JOB, MIRA, makeBench, makeEntry, makeHeader, makeStep, NOW } from "./bench";

export const WALK_IN = "0190a000-0000-7000-8000-00000000000c";
export const SECOND_JOB = "0190a000-0000-7000-8000-00000000000b";
const SECOND_DEVICE = "0190a000-0000-7000-8000-0000000000d4";

/** Leaves the phone without signal, with work unsent, refused and sent. */
export async function workSomeDays(): Promise<Bench> {
  const bench = await makeBench();
  await fetched(bench);
  await sent(bench);
  await refused(bench);
  bench.server.online = false;
  await unsent(bench);
  await bench.syncer.sync({ force: true });
  return bench;
}

async function fetched({ server, syncer }: Bench): Promise<void> {
  server.jobs.push(
    makeHeader({
      id: SECOND_JOB,
      number: "J-0043",
      bike: "blue folding bike, “Ünal’s”",
      route: [makeStep("look", { stage: "intake" }), makeStep("true_wheel", { stage: "wheels" })],
    }),
  );
  server.add(makeEntry({ kind: "note", body: { text: "Rack bolt is loose — 3 turns" } }));
  server.add(makeEntry({ body: { step: "wash", outcome: "done" } }));
  server.add(makeEntry({ job: SECOND_JOB, body: { step: "look", outcome: "done" } }));
  server.add(makeEntry({ v: 7, kind: "weighed", body: { grams: 9120.5 } }));
  await syncer.sync({ force: true });
}

function write(kind: string, body: JsonObject, more: Partial<NewEntry> = {}): NewEntry {
  return {
    id: v7(),
    job: JOB,
    kind,
    by: MIRA,
    at: NOW.toISOString(),
    body,
    supersedes: [],
    ...more,
  };
}

async function takePhoto(picture: string): Promise<void> {
  const bytes = new TextEncoder().encode(picture).buffer as ArrayBuffer;
  const sha256 = createHash("sha256").update(picture).digest("hex");
  const about = { sha256, mime: "image/jpeg", width: 4, height: 3, phase: "found" };
  await appendPhoto(write("photo", { ...about, bytes: bytes.byteLength }), {
    ...{ sha256, mime: "image/jpeg", bytes, job: JOB },
    ...{ kept_at: NOW.toISOString(), unsent: 1 },
  });
}

async function sent({ syncer }: Bench): Promise<void> {
  const tick = await appendEntry(write("tick", { step: "look", outcome: "done" }));
  await appendEntry(write("void", { reason: "wrong bike" }, { supersedes: [tick.id] }));
  await appendEntry(write("hands-on", {}));
  await takePhoto("a picture that was sent");
  await syncer.sync({ force: true });
  await syncer.photos({ force: true });
}

async function refused({ server, syncer }: Bench): Promise<void> {
  server.refuse = ({ kind }) =>
    kind === "note" ? { code: "id-reused", message: "Another entry has this number." } : undefined;
  await appendEntry(write("note", { text: "refused <note>" }));
  server.photos.trouble = { status: 422, message: "That is no picture." };
  await takePhoto("a picture that was refused");
  await syncer.sync({ force: true });
  await syncer.photos({ force: true });
  server.refuse = () => undefined;
  server.photos.trouble = undefined;
}

async function unsent({ server }: Bench): Promise<void> {
  const value = { step: "pads", item: "front-pad", phase: "found", value: 0.9, unit: "mm" };
  await appendEntry(write("reading", value));
  await appendEntry(write("note", { text: "naïve 🚲 note\nwith a second line", step: "wash" }));
  await appendEntry(
    write("tick", { step: "true_wheel", outcome: "done" }, { job: SECOND_JOB, id: v7() }),
  );
  await takePhoto("a picture that waits");
  await wantThumbs([{ sha256: "c".repeat(64), job: JOB }]);
  await keepThumb({ sha256: "c".repeat(64), job: JOB }, new Uint8Array([1, 2, 3]).buffer);
  await takeIn();
  // Signed in again under a new name: what waits keeps the name it was written under.
  await enrol({ device: SECOND_DEVICE, token: server.token }, MIRA);
  const torque = { step: "stem", item: "stem", phase: "left", value: 5.5, unit: "N·m" };
  await appendEntry(write("reading", torque));
  await appendEntry(write("tick", { step: "stem", outcome: "done" }));
}

async function takeIn(): Promise<void> {
  const { route: steps, ...header } = makeHeader({ id: WALK_IN, number: "", bike: "red tandem" });
  const { traits, service, says, go_ahead_minor, opened_at } = header;
  const route = "f".repeat(64);
  const told = { customer_name: "Ünal", phone: "07700 900123", bike_words: "red tandem", by: MIRA };
  const facts = { traits, service, says, go_ahead_minor, opened_at, catalogue: "c1", route };
  await keepWalkIn({ ...told, ...facts }, { ...header, route }, steps);
  await appendEntry(write("note", { text: "Bell missing" }, { job: WALK_IN }));
}
