import { v7 } from "uuid";
import { beforeEach, expect, test } from "vitest";
import { findJob } from "../store/jobs";
import { setPerson } from "../store/meta";
import { type Bench, JOB, makeBench, makeEntry, OTTO } from "../testing/bench";

let bench: Bench;
const PATH = `/bench/jobs/${JOB}`;
const PAD = "ask:pads:front-pad:found";

beforeEach(async () => {
  bench = await makeBench();
});

async function job() {
  const opened = await findJob(JOB);
  if (!opened) throw new Error("no job");
  return opened;
}

const values = async (place: string) =>
  ((await job()).state.places[place] ?? []).map((head) => head.body.value ?? head.body.outcome);

/** Writes and gives back the id of the entry. */
async function write(path: string, form: Record<string, string>): Promise<string> {
  const id = v7();
  await bench.post(`${PATH}${path}`, form, { "X-Entry-Id": id });
  return id;
}

const reading = (value: string, seen = "") =>
  write("/steps/pads/asks/front-pad/reading", { phase: "found", value, unit: "mm", seen });

async function undo(entry: string, headers: Record<string, string> = {}) {
  const response = await bench.post(`${PATH}/undo`, { entry }, headers);
  return { status: response.status, headers: response.headers, html: await response.text() };
}

test("a tick says that it was kept, with a way back", async () => {
  const answer = await bench.post(`${PATH}/steps/look/tick`, { outcome: "done", seen: "" });
  const html = await answer.text();

  expect(html).toMatch(/<div id="kept" hx-swap-oob="innerHTML">.*Kept. Step look: done/);
  expect(html).toContain(`hx-post="${PATH}/undo"`);
  expect(html).toContain('hx-target="#step-look"');
});

test("an undone tick leaves the step open and draws its row", async () => {
  const id = await write("/steps/look/tick", { outcome: "done", seen: "" });
  const { html } = await undo(id, { "HX-Target": "li#step-look" });

  expect(await values("tick:look")).toEqual([]);
  expect(html).toMatch(/id="step-look"[^>]*class="step next"/);
  expect(html).toContain("Taken back.");
});

test("an undone reading brings back the one that it replaced", async () => {
  const first = await reading("2.5");
  const second = await reading("3", first);
  const { headers } = await undo(second);

  expect(await values(PAD)).toEqual([2.5]);
  expect(headers.get("HX-Refresh")).toBe("true");
});

test("undoing twice with the same id writes once", async () => {
  const first = await reading("2.5");
  const second = await reading("3", first);
  const before = (await job()).entries.length;
  const headers = { "X-Entry-Id": v7() };
  await undo(second, headers);

  expect((await undo(second, headers)).status).toBe(409);
  expect((await job()).entries.length).toBe(before + 1);
});

test("an undone choice between two entries leaves both to be settled again", async () => {
  const mine = await reading("2.5");
  const other = makeEntry({
    kind: "reading",
    body: { step: "pads", item: "front-pad", phase: "found", value: 1.2, unit: "mm" },
  });
  bench.server.add(other);
  await bench.syncer.sync({ force: true });
  const form = { step: "pads", take: other.id, seen: `${mine},${other.id}` };
  const settled = await write("/settle", form);
  expect(await values(PAD)).toEqual([1.2]);
  await undo(settled);

  expect((await values(PAD)).sort()).toEqual([1.2, 2.5]);
  expect((await job()).state.conflicts).toEqual([PAD]);
});

test("what somebody else has replaced meanwhile is left alone", async () => {
  const id = await reading("2.5");
  bench.server.add(
    makeEntry({
      kind: "reading",
      body: { step: "pads", item: "front-pad", phase: "found", value: 1.2, unit: "mm" },
      supersedes: [id],
    }),
  );
  await bench.syncer.sync({ force: true });
  const { status, html } = await undo(id);

  expect([status, html]).toEqual([409, "Somebody has changed it since. Look at it again."]);
  expect(await values(PAD)).toEqual([1.2]);
});

test("only who wrote it undoes it", async () => {
  const id = await reading("2.5");
  await setPerson(OTTO);

  expect((await undo(id)).status).toBe(409);
  expect(await values(PAD)).toEqual([2.5]);
});

test("the page that is reached after an entry says that it was kept, once", async () => {
  const id = await write("/note", { text: "bell is loose" });
  const html = await (await bench.get(`${PATH}?kept=${id}`)).text();
  expect(html).toContain("Kept. Note: bell is loose");

  await undo(id);
  expect(await (await bench.get(`${PATH}?kept=${id}`)).text()).not.toContain("Kept. Note");
  expect((await job()).state.notes).toEqual([]);
});
