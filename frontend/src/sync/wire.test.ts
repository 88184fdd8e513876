import * as v from "valibot";
import { expect, expectTypeOf, test } from "vitest";
import type { Entry } from "../journal/entry";
import type { WorkshopInfo } from "../store/schema";
import { JOB, makeEntry, makeHeader, ROUTE, WORKSHOP } from "../testing/bench";
import type { Answer, Question } from "./exchange";
import { type Handed, Routes, SyncAnswer } from "./wire";
import type { components } from "./wire-types";

type Server = components["schemas"];
type Read = v.InferInput<typeof SyncAnswer>;

const HEADER = { ...makeHeader(), route: "a".repeat(64) };

const ANSWER = {
  epoch: "11111111-1111-4111-8111-111111111111",
  device: null,
  taken: [{ at: 0, count: 1, seq: 2 }],
  refused: [{ at: 1, id: "", code: "not-an-object", message: "This is no entry." }],
  entries: [{ seq: 1, entry: makeEntry() }],
  jobs: [HEADER],
  workshop: WORKSHOP,
  workshop_digest: "abc",
  others: [{ job: JOB, by: null, device: "Phone 2", at: "2026-03-02T10:00:00Z" }],
  cursor: 2,
  more: false,
  server_at: "2026-03-02T10:00:00Z",
};

test("what the server's description promises is what is read here", () => {
  // Tasks are free objects in the description; everything else must fit field by field.
  type Described = Omit<Server["SyncAnswer"], "workshop"> & {
    workshop: (Omit<Server["Workshop"], "tasks"> & Pick<WorkshopInfo, "tasks">) | null;
  };
  expectTypeOf<Described>().toExtend<Read>();
  type Sent = Omit<Question, "entries"> & {
    entries: Array<Omit<Entry, "supersedes"> & { supersedes: string[] }>;
  };
  expectTypeOf<Sent>().toExtend<Server["SyncRequest"]>();
  expectTypeOf<Server["EnrolAnswer"]>().toExtend<v.InferInput<typeof Handed>>();
});

test("a whole answer is read, and fields of a newer server are kept where they are stored", () => {
  const newer = { ...ANSWER, jobs: [{ ...HEADER, stand: 3 }] };
  const read = v.parse(SyncAnswer, newer) as Answer;

  expect(read.jobs[0]).toMatchObject({ number: "J-0042", stand: 3 });
  expect(read.entries[0]?.seq).toBe(1);
});

test.each([
  ["no epoch", { epoch: undefined }],
  ["a number as text", { cursor: "7" }],
  [
    "an entry without its job",
    { entries: [{ seq: 1, entry: { ...makeEntry(), job: undefined } }] },
  ],
  ["a run that counts backwards", { taken: [{ at: 0, count: -1, seq: 2 }] }],
  ["a route that is no name", { jobs: [makeHeader()] }],
])("an answer with %s is not taken", (_, wrong) => {
  expect(v.safeParse(SyncAnswer, { ...ANSWER, ...wrong }).success).toBe(false);
});

test("steps of a route are read whole or not at all", () => {
  const routes = { steps: ROUTE, routes: { ["a".repeat(64)]: [0, 1] } };
  expect(v.safeParse(Routes, routes).success).toBe(true);

  const smell = [{ key: "x", asks: [{ kind: "smell" }] }];
  expect(v.safeParse(Routes, { ...routes, steps: smell }).success).toBe(false);
});
