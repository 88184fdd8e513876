/* What a person taps: the requests that the pages of the phone make for it. */
import { deflateSync } from "node:zlib";
import { BENCH_KINDS, type Entry } from "../../../frontend/src/journal/entry";
import type { Head, JobState } from "../../../frontend/src/journal/state";
import type { Random } from "./random";

export type Tap = { path: string; form?: Record<string, string>; picture?: Picture };
export type Picture = { bytes: Buffer; width: number; height: number };

export type Seen = {
  job: string;
  /** The steps of its route that are ticked; those of the short route all runs share come first. */
  steps: string[];
  /** Whether it is one of the jobs that were there from the start, whose asks are known. */
  isKnown: boolean;
  state: JobState;
  entries: Entry[];
  me: string;
  /** How many pictures were taken before in this run. */
  pictures: number;
};

/** What a person sees at the stand decides what can be tapped; nothing when there is nothing to tap. */
export function tapFor(what: string, seen: Seen, random: Random): Tap | undefined {
  const make = TAPS[seen.isKnown || !OF_KNOWN_STEPS.has(what) ? what : "tick"];
  return make?.(seen, random);
}

export const TAPPED = [
  "tick",
  "not needed",
  "reading",
  "choice",
  "check",
  "note",
  "finding",
  "photo",
  "hands",
  "undo",
  "take back",
  "settle",
];
const OF_KNOWN_STEPS = new Set(["not needed", "reading", "choice", "check"]);

/** A bike that comes in at the stand. */
export function walkInTap(job: string, random: Random): Tap {
  const form = {
    job,
    name: `${random.pick(["Jana", "Ada", "Omar"])} Field`,
    phone: random.pick(["07700 900123", "07700 900124", "ask her", ""]),
    bike: words(random),
    kind: random.pick(["city", "road", "mtb"]),
    service: random.pick(["safety", "standard"]),
    says: words(random),
    limit: random.pick(["", "20", "35.50"]),
  };
  return { path: "/bench/walk-in", form };
}

type MakeTap = (seen: Seen, random: Random) => Tap | undefined;

const TAPS: Record<string, MakeTap> = {
  tick: (seen, random) => {
    if (seen.steps.length === 0) return undefined;
    // Few of many, so that phones meet on them.
    const step = random.pick(seen.steps.slice(0, 6));
    const outcome = random.chance(0.8) ? "done" : "open";
    return onStep(seen, step, "tick", { outcome, seen: heads(seen, `tick:${step}`, random) });
  },
  "not needed": (seen, random) =>
    onStep(seen, "wash", "not-needed", {
      reason: "clean enough",
      seen: heads(seen, "tick:wash", random),
    }),
  reading: (seen, random) => {
    const torque = random.chance(0.5);
    const [step, item] = torque ? ["bolt_stem", "stem"] : ["measure_brakes", "front-pad"];
    const phase = torque ? "left" : random.pick(["found", "left"]);
    return onStep(seen, step, `asks/${item}/reading`, {
      phase,
      value: torque ? String(random.int(3, 7)) : String(random.int(2, 40) / 10),
      unit: torque ? "N·m" : "mm",
      seen: heads(seen, `ask:${step}:${item}:${phase}`, random),
    });
  },
  choice: (seen, random) => {
    const phase = random.pick(["found", "left"]);
    return onStep(seen, "measure_bearings", "asks/headset/choice", {
      phase,
      value: random.pick(["smooth", "notchy"]),
      seen: heads(seen, `ask:measure_bearings:headset:${phase}`, random),
    });
  },
  check: (seen, random) =>
    onStep(seen, "second_look", "check", {
      outcome: random.chance(0.8) ? "agreed" : "not-agreed",
      text: "as it should be",
      seen: heads(seen, "check:second_look", random),
    }),
  note: (seen, random) => onJob(seen, "note", { text: words(random), step: "" }),
  finding: (seen, random) =>
    onJob(seen, "finding", {
      title: words(random),
      reason: words(random),
      minutes: String(random.int(5, 60)),
      ...(random.chance(0.3) && { safety: "yes" }),
    }),
  hands: (seen) => {
    const mine = seen.state.hands.find((each) => each.by === seen.me);
    return onJob(seen, "hands", mine ? { hands: mine.id, now: "1" } : { on: "1" });
  },
  undo: (seen, random) => {
    const own = writtenHere(seen);
    return own.length === 0
      ? undefined
      : onJob(seen, "undo", { entry: random.pick(own.slice(-4)).id });
  },
  "take back": (seen, random) => {
    const own = writtenHere(seen).filter((each) => each.kind !== "void");
    if (own.length === 0) return undefined;
    return onJob(seen, "void", { entry: random.pick(own).id, reason: "a slip of the thumb" });
  },
  settle: (seen, random) => {
    const settled = seen.state.conflicts.filter((place) => /^(tick|ask|check):/.test(place));
    if (settled.length === 0) return undefined;
    const place = random.pick(settled);
    const rivals = seen.state.places[place] ?? [];
    return onJob(seen, "settle", {
      take: random.pick(rivals).id,
      seen: rivals.map((head) => head.id).join(","),
      step: place.split(":")[1] ?? "",
    });
  },
  photo: (seen, random) => {
    const picture = pictureFor(seen.pictures, random);
    const { width, height } = picture;
    const path = `/bench/jobs/${seen.job}/photos?phase=detail&width=${width}&height=${height}`;
    return { path, picture };
  },
};

/** What the pages let a person take back. */
function writtenHere({ entries, me }: Seen): Entry[] {
  return entries.filter((each) => each.by === me && BENCH_KINDS.has(each.kind));
}

function onStep(seen: Seen, step: string, what: string, form: Record<string, string>): Tap {
  return { path: `/bench/jobs/${seen.job}/steps/${step}/${what}`, form };
}

function onJob(seen: Seen, what: string, form: Record<string, string>): Tap {
  return { path: `/bench/jobs/${seen.job}/${what}`, form };
}

/** The entries on the screen; now and then the page is older than what is kept. */
function heads({ state }: Seen, place: string, random: Random): string {
  const live: Head[] = random.chance(0.85) ? (state.places[place] ?? []) : [];
  return live.map((head) => head.id).join(",");
}

const WORDS = ["Lager läuft rau", "loose", "0.45 mm", "🚲", "a:b", "“quoted”", "ok"];

function words(random: Random): string {
  return `${random.pick(WORDS)} ${random.int(0, 9999)}`;
}

/** A picture of a size that no other of the run has; some are heavy enough for several chunks. */
function pictureFor(number: number, random: Random): Picture {
  const [width, height] = [1 + (number % 100), 1 + Math.floor(number / 100)];
  const padding = random.chance(0.12) ? random.int(100_000, 270_000) : random.int(0, 400);
  return { bytes: pngOf(width, height, random.bytes(padding)), width, height };
}

const SIGNATURE = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);

function pngOf(width: number, height: number, padding: Uint8Array): Buffer {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(width, 0);
  header.writeUInt32BE(height, 4);
  header.set([8, 0, 0, 0, 0], 8);
  const rows = Buffer.alloc((width + 1) * height, 0x80);
  for (let row = 0; row < height; row += 1) rows[row * (width + 1)] = 0;
  return Buffer.concat([
    SIGNATURE,
    chunk("IHDR", header),
    chunk("paDd", Buffer.from(padding)),
    chunk("IDAT", deflateSync(rows)),
    chunk("IEND", Buffer.alloc(0)),
  ]);
}

function chunk(type: string, data: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from(type, "latin1"), data]);
  const frame = Buffer.alloc(8);
  frame.writeUInt32BE(data.length, 0);
  frame.writeUInt32BE(crc32(body), 4);
  return Buffer.concat([frame.subarray(0, 4), body, frame.subarray(4)]);
}

const TABLE = Uint32Array.from({ length: 256 }, (_, start) => {
  let value = start;
  for (let bit = 0; bit < 8; bit += 1) value = value & 1 ? 0xedb88320 ^ (value >>> 1) : value >>> 1;
  return value >>> 0;
});

function crc32(bytes: Buffer): number {
  let value = 0xffffffff;
  for (const byte of bytes) value = (TABLE[(value ^ byte) & 0xff] ?? 0) ^ (value >>> 8);
  return (value ^ 0xffffffff) >>> 0;
}
