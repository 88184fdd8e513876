import * as v from "valibot";
import { expect, expectTypeOf, test } from "vitest";
import type { Entry } from "../journal/entry";
import type { JobHeader as StoredHeader, WorkshopInfo } from "../store/schema";
import { makeEntry, makeHeader, WORKSHOP } from "../testing/bench";
import type { Answer, Question } from "./exchange";
import { type Handed, SyncAnswer } from "./wire";
import type { components } from "./wire-types";

type Server = components["schemas"];
type Read = v.InferInput<typeof SyncAnswer>;

const ANSWER = {
  epoch: "11111111-1111-4111-8111-111111111111",
  accepted: [],
  refused: [],
  entries: [{ seq: 1, received_at: "2026-03-02T10:00:00Z", entry: makeEntry() }],
  jobs: [makeHeader()],
  workshop: WORKSHOP,
  cursor: 1,
  more: false,
  server_at: "2026-03-02T10:00:00Z",
};

test("what the server's description promises is what is read here", () => {
  // Routes and tasks are free objects in the description; everything else must fit field by field.
  type Described = Omit<Server["SyncAnswer"], "jobs" | "workshop"> & {
    jobs: Array<Omit<Server["JobHeader"], "route"> & Pick<StoredHeader, "route">>;
    workshop: Omit<Server["Workshop"], "tasks"> & Pick<WorkshopInfo, "tasks">;
  };
  expectTypeOf<Described>().toExtend<Read>();
  type Sent = Omit<Question, "entries"> & {
    entries: Array<Omit<Entry, "supersedes"> & { supersedes: string[] }>;
  };
  expectTypeOf<Sent>().toExtend<Server["SyncRequest"]>();
  expectTypeOf<Server["EnrolAnswer"]>().toExtend<v.InferInput<typeof Handed>>();
});

test("a whole answer is read, and fields of a newer server are kept where they are stored", () => {
  const newer = { ...ANSWER, jobs: [{ ...makeHeader(), stand: 3 }] };
  const read = v.parse(SyncAnswer, newer) as Answer;

  expect(read.jobs[0]).toMatchObject({ number: "J-0042", stand: 3 });
  expect(read.entries[0]?.seq).toBe(1);
});

test.each([
  ["no epoch", { epoch: undefined }],
  ["a number as text", { cursor: "7" }],
  [
    "an entry without its job",
    { entries: [{ seq: 1, received_at: "", entry: { ...makeEntry(), job: undefined } }] },
  ],
  ["a route that is no list", { jobs: [{ ...makeHeader(), route: "all" }] }],
  [
    "an unknown kind of ask",
    { jobs: [makeHeader({ route: [{ key: "x", asks: [{ kind: "smell" }] } as never] })] },
  ],
])("an answer with %s is not taken", (_, wrong) => {
  expect(v.safeParse(SyncAnswer, { ...ANSWER, ...wrong }).success).toBe(false);
});
