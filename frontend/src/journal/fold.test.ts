import fc from "fast-check";
import { describe, expect, test } from "vitest";
import file from "../../../fixtures/cases/journal/fold.json";
import { BENCH_KINDS, DESK_KINDS, type Entry, parseEntry } from "./entry";
import { fold } from "./fold";
import type { JobState } from "./state";
import type { JsonObject } from "./values";

type RawEntry = { id: string; by: string; at: string; kind: string; body: JsonObject };
type Case = {
  name: string;
  entries: RawEntry[];
  expected: JsonObject & {
    places?: Record<string, string[]>;
    notes?: string[];
    photos?: string[];
    findings?: string[];
    bodies?: Record<string, JsonObject>;
  };
};

const CASES = file as unknown as Case[];

const EMPTY = {
  place: "booked",
  opened: null,
  places: {},
  conflicts: [],
  notes: [],
  photos: [],
  findings: [],
  added: [],
  answers: {},
  asking: [],
  parts: [],
  hands: [],
  ready_at: null,
  released: null,
  collected: false,
  cancelled: false,
};

/** A case states what differs from an empty job, and names entries by their ids. */
function expectedState({ entries, expected }: Case): JsonObject {
  const { bodies = {}, places = {}, notes = [], photos = [], findings = [], ...told } = expected;
  const byId = new Map(entries.map((entry) => [entry.id.toLowerCase(), entry]));
  const row = (id: string) => {
    const entry = byId.get(id);
    return { id, by: entry?.by, at: entry?.at, body: bodies[id] ?? entry?.body };
  };
  const head = (id: string) => ({ ...row(id), kind: byId.get(id)?.kind });
  return {
    ...EMPTY,
    ...told,
    places: Object.fromEntries(
      Object.entries(places).map(([place, ids]) => [place, ids.map(head)]),
    ),
    notes: notes.map(row),
    photos: photos.map(row),
    findings: findings.map(row),
  };
}

describe("cases", () => {
  test.each(CASES)("$name", (given) => {
    expect(fold(given.entries.map(parseEntry))).toEqual(expectedState(given));
  });

  test.each(CASES)("$name, backwards and twice", (given) => {
    const entries = given.entries.map(parseEntry);

    expect(fold([...entries].reverse().concat(entries))).toEqual(expectedState(given));
  });
});

const uuid = (group: string, number: number) =>
  `019c0000-0000-7000-8000-${group}${String(number).padStart(11, "0")}`;
const entryId = fc.nat(11).map((number) => uuid("e", number));
const person = fc.nat(2).map((number) => uuid("b", number));
const step = fc.constantFrom("wash", "measure_brakes", "__proto__");
const ask = { step, item: fc.constantFrom("front-pad", "chain"), phase: anyOf("found", "left") };

function anyOf<T>(...values: T[]) {
  return fc.constantFrom(...values);
}

const BODIES: Record<string, fc.Arbitrary<JsonObject>> = {
  tick: fc.record({ step, outcome: anyOf("done", "done", "open", "not-needed") }),
  choice: fc.record({ ...ask, value: anyOf("smooth", "notchy") }),
  reading: fc.record(
    {
      ...ask,
      value: anyOf<number | null>(0, 1, 0.4, null),
      unit: anyOf("mm", "%"),
      loose: fc.boolean(),
      u: anyOf(0, 0.05),
    },
    { requiredKeys: ["step", "item", "phase", "value", "unit"] },
  ),
  photo: fc.record({ sha256: fc.constant("ab".repeat(32)), phase: anyOf("before", "after") }),
  note: fc.record({ text: fc.string({ maxLength: 3 }) }),
  finding: fc.record({
    title: anyOf("Chain", "Pads"),
    reason: fc.constant("Worn."),
    minutes: fc.nat(60),
    parts: fc.array(fc.record({ name: fc.constant("Pads"), in_stock: fc.boolean() }), {
      maxLength: 2,
    }),
    safety: fc.boolean(),
  }),
  "hands-off": fc.record({ on: entryId }),
  check: fc.record({ step, outcome: anyOf("agreed", "not-agreed") }),
  asked: fc.record({
    offer: anyOf(uuid("d", 1), uuid("d", 2)),
    version: fc.integer({ min: 1, max: 2 }),
    findings: fc.array(entryId, { maxLength: 2 }),
    told: fc.boolean(),
  }),
  answer: fc.record({
    offer: anyOf(uuid("d", 1), uuid("d", 2)),
    version: fc.integer({ min: 1, max: 2 }),
    lines: fc.array(fc.record({ finding: entryId, decision: anyOf("yes", "no", "withdrawn") }), {
      maxLength: 2,
    }),
  }),
  "route-added": fc.record({ finding: entryId, title: fc.constant("Pads"), steps: anyOf([], [1]) }),
  "parts-in": fc.record({ finding: entryId }),
  promise: fc.record({ ready_at: anyOf("2026-03-04T17:00:00Z", "2026-03-04T17:30:00+01:00") }),
  released: fc.record({ mode: anyOf("safe", "not-to-ride") }),
  redacted: fc.record({ entry: entryId }),
};

// Not BODIES[kind]: one of the kinds is called "constructor".
function bodyOf(kind: string): fc.Arbitrary<JsonObject> {
  const arbitrary = Object.hasOwn(BODIES, kind) ? BODIES[kind] : undefined;
  return arbitrary ?? fc.constant({});
}

const anyKind = fc.constantFrom(...BENCH_KINDS, ...DESK_KINDS, "wheel-scan", "constructor");
const anyEntry: fc.Arbitrary<Entry> = anyKind.chain((kind) =>
  fc.record({
    v: anyOf(1, 1, 1, 1, 1, 1, 1, 2),
    id: entryId,
    job: fc.constant(uuid("a", 1)),
    kind: fc.constant(kind),
    device: fc.constant(uuid("c", 1)),
    n: fc.integer({ min: 1, max: 99 }),
    by: person,
    at: fc.constant("2026-03-02T10:15:04.123Z"),
    body: fc.oneof(
      { weight: 8, arbitrary: bodyOf(kind) },
      { weight: 1, arbitrary: fc.dictionary(anyOf("step", "text", "redacted"), fc.jsonValue()) },
    ) as fc.Arbitrary<JsonObject>,
    supersedes: fc.array(entryId, { maxLength: 2 }),
  }),
);
const anyEntries = fc.array(anyEntry, { maxLength: 25 });

describe("a set of entries", () => {
  test("gives the same state in any order and with any repeat", () => {
    const shuffled = anyEntries.chain((entries) =>
      fc.record({
        entries: fc.constant(entries),
        again: fc.shuffledSubarray([...entries, ...entries], { minLength: entries.length }),
      }),
    );

    fc.assert(
      fc.property(shuffled, ({ entries, again }) => {
        expect(fold([...again, ...[...entries].reverse()])).toEqual(fold(entries));
      }),
      { numRuns: 500 },
    );
  });

  test("gives the same state on phones that have exchanged everything", () => {
    fc.assert(
      fc.property(anyEntries, fc.array(fc.nat(2), { maxLength: 25 }), (entries, owners) => {
        const phones: Entry[][] = [[], [], []];
        entries.forEach((entry, at) => {
          phones[owners[at] ?? 0]?.push(entry);
        });
        const states: JobState[] = phones.map((own) => fold([...own, ...phones.flat()]));

        for (const state of states) expect(state).toEqual(fold(entries));
      }),
      { numRuns: 300 },
    );
  });

  test("is not changed by folding it", () => {
    fc.assert(
      fc.property(anyEntries, (entries) => {
        const before = JSON.stringify(entries);

        fold(entries);

        expect(JSON.stringify(entries)).toBe(before);
      }),
    );
  });
});
