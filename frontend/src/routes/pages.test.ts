import { beforeEach, expect, test } from "vitest";
import { keepThumb } from "../store/thumbs";
import {
  type Bench,
  connect,
  freshDatabase,
  JOB,
  MIRA,
  makeBench,
  makeEntry,
  makeHeader,
  makeStep,
  NOW,
  OTTO,
  ROUTE,
} from "../testing/bench";
import { FakeServer } from "../testing/fake-server";

let bench: Bench;
const PATH = `/bench/jobs/${JOB}`;

beforeEach(async () => {
  bench = await makeBench();
});

async function text(path: string): Promise<string> {
  return (await bench.get(path)).text();
}

test("today's jobs show number, bike, day in words, progress and the next step", async () => {
  const html = await text("/bench/");

  expect(html).toContain("J-0042");
  expect(html).toContain("moss-green city bike");
  expect(html).toContain('<h2 class="day-heading">Today');
  expect(html).toContain("17:00");
  expect(html).toContain("Next: Step look");
  expect(html).toContain('max="6"');
});

test("jobs are in promise order, and ready ones come last", async () => {
  const early = makeHeader({
    id: "0190a000-0000-7000-8000-00000000000b",
    number: "J-0001",
    promised_at: "2026-03-02T09:00:00Z",
  });
  const later = makeHeader({
    id: "0190a000-0000-7000-8000-00000000000c",
    number: "J-0003",
    promised_at: "2026-03-04T09:00:00Z",
  });
  bench.server.jobs = [later, makeHeader(), early];
  bench.server.add(makeEntry({ job: early.id, kind: "released", body: { mode: "safe" } }));
  bench.server.epoch = "33333333-3333-4333-8333-333333333333";
  await bench.syncer.sync({ force: true });
  const numbers = [...(await text("/bench/")).matchAll(/job-number">(J-\d+)/g)].map(
    (match) => match[1],
  );

  expect(numbers).toEqual(["J-0042", "J-0003", "J-0001"]);
});

test.each([
  "/bench/",
  PATH,
  `${PATH}/steps/pads`,
  `${PATH}/steps/pads/asks/front-pad?phase=found`,
  `${PATH}/torque`,
  `${PATH}/finding`,
  `${PATH}/note`,
  `${PATH}/photos`,
  `${PATH}/history`,
  `${PATH}/hands`,
  `${PATH}/find`,
  "/bench/find",
  "/bench/scan",
  "/bench/kept",
])("%s answers with the strict headers and nothing inline", async (path) => {
  const response = await bench.get(path);
  const html = await response.text();

  expect(response.status).toBe(200);
  const policy = response.headers.get("Content-Security-Policy") ?? "";
  expect(policy).toContain("default-src 'none'");
  expect(policy).not.toContain("unsafe");
  expect(response.headers.get("Cache-Control")).toBe("no-store");
  expect(html).not.toMatch(/ style="| on[a-z]+="|hx-on|<script(?![^>]*src=)|js:/);
});

test("what people wrote is escaped", async () => {
  const html = await text(PATH);

  expect(html).toContain("It &lt;clicks&gt; under load");
  expect(html).not.toContain("<clicks>");
});

test("a job says what was agreed and shows approved work in its place", async () => {
  const finding = makeEntry({
    kind: "finding",
    body: { title: "New pads", reason: "worn", minutes: 20, parts: [], safety: true },
  });
  const added = makeStep("renew_pads", {
    title: "Renew the pads",
    stage: "brakes",
    before: ["stem"],
  });
  bench.server.add(finding);
  bench.server.add(
    makeEntry({
      kind: "route-added",
      body: { finding: finding.id, title: "New pads", steps: [added] },
    }),
  );
  await bench.syncer.sync({ force: true });
  const html = await text(PATH);

  expect(html).toContain("£40.00 may go ahead without asking");
  expect(html).toContain("agreed: do it");
  expect(html.indexOf("Renew the pads")).toBeLessThan(html.indexOf("Step second_look"));
  expect(html).toContain("added");
});

test("a step page says why it comes after another", async () => {
  expect(await text(`${PATH}/steps/wash`)).toContain(
    "After “Step look”, because damage must be seen before it is clean.",
  );
});

test("a page that does not exist is no business of the server's", async () => {
  const job = await bench.get("/bench/jobs/0190a000-0000-7000-8000-0000000000ff");
  const step = await bench.get(`${PATH}/steps/nothing`);
  const page = await bench.get("/bench/nothing");

  expect([job.status, step.status, page.status]).toEqual([410, 410, 410]);
  expect(await job.text()).toContain("has not been fetched to this phone");
});

test("before enrolment, and for the sign-in page, the server answers", async () => {
  expect((await bench.get("/bench/enrol")).status).toBe(404);
  expect((await bench.get("/bench/worker.js")).status).toBe(404);
  freshDatabase();
  const fresh = connect(new FakeServer());
  expect((await fresh.get("/bench/")).status).toBe(404);
  expect(await (await fresh.get("/bench/device")).json()).toMatchObject({
    enrolled: false,
    sign_in_again: false,
  });
});

test("the server's answer to the sign-in is handed over as JSON only", async () => {
  freshDatabase();
  const fresh = connect(new FakeServer());
  const body = JSON.stringify({
    device: "0190a000-0000-7000-8000-0000000000d1",
    token: "good-token",
    person: MIRA,
  });
  const asForm = await fresh.app.request("/bench/device", {
    method: "POST",
    body,
    headers: { "Content-Type": "text/plain" },
  });
  const asJson = await fresh.app.request("/bench/device", {
    method: "POST",
    body,
    headers: { "Content-Type": "application/json" },
  });

  expect([asForm.status, asJson.status]).toEqual([400, 200]);
  expect(await (await fresh.get("/bench/device")).json()).toMatchObject({
    enrolled: true,
    sign_in_again: false,
  });
});

test("whoever works is one tap away on every page, and the page hears of it", async () => {
  expect(await text(`${PATH}/note`)).toMatch(/<button[^>]*name="person"[^>]*>Otto</);
  const chosen = await bench.post("/bench/person", { person: OTTO });
  const unknown = await bench.post("/bench/person", { person: "nobody" });

  expect([chosen.status, chosen.headers.get("HX-Trigger")]).toEqual([200, "bench:changed"]);
  expect(await chosen.text()).toContain('<span class="who-name">Otto</span>');
  expect(unknown.status).toBe(409);
  expect(await text("/bench/")).toContain('<span class="who-name">Otto</span>');
});

test("a job that is not here is fetched, and the way leads back to it", async () => {
  const path = "/bench/jobs/0190a000-0000-7000-8000-0000000000ff";
  const missing = await bench.get(path);

  expect(missing.status).toBe(410);
  expect(await missing.text()).toContain(`name="back" value="${path}"`);
  expect((await bench.post("/bench/fetch", { back: path })).headers.get("HX-Redirect")).toBe(path);
  const foreign = await bench.post("/bench/fetch", { back: "https://example.org/" });
  expect(foreign.headers.get("HX-Redirect")).toBe("/bench/");
});

test("what is kept is told, sent by hand, and saved as a file", async () => {
  bench.server.online = false;
  await bench.post(`${PATH}/note`, { text: "kept here" });
  await bench.syncer.sync({ force: true });
  expect(await text("/bench/")).toContain("1 kept on this phone since 10:15, no connection");
  expect(await text("/bench/kept")).toContain("J-0042: Note: kept here");
  const file = await bench.get("/bench/kept/export");
  expect(file.headers.get("Content-Disposition")).toContain("attachment");
  expect(((await file.json()) as { unsent: unknown[] }).unsent).toHaveLength(1);

  bench.server.online = true;
  await bench.post("/bench/kept/send", {});
  expect(await text("/bench/")).toContain("All sent");
});

test("a refused entry is shown with its reason", async () => {
  bench.server.refuse = () => ({ code: "unknown-job", message: "The workshop has no such job." });
  await bench.post(`${PATH}/note`, { text: "lost and found" });
  await bench.syncer.sync({ force: true });
  const html = await text("/bench/kept");

  expect(html).toContain("lost and found");
  expect(html).toContain("The workshop has no such job.");
  expect(await text("/bench/")).toContain("1 refused");
});

test("a revoked phone is told to sign in again, with what waits", async () => {
  await bench.post(`${PATH}/note`, { text: "mine" });
  bench.server.token = "other";
  await bench.syncer.sync({ force: true });

  expect(await text("/bench/")).toContain("1 kept on this phone");
  expect(await text("/bench/")).toContain('href="/bench/enrol"');
  expect(await (await bench.get("/bench/device")).json()).toMatchObject({
    enrolled: true,
    sign_in_again: true,
  });
});

const PICTURE = new Uint8Array([0xff, 0xd8, 0xff, 0xd9]);

async function takePhoto(query: string): Promise<string> {
  const response = await bench.app.request(`${PATH}/photos?${query}`, {
    method: "POST",
    headers: { "Content-Type": "image/jpeg" },
    body: PICTURE,
  });
  return response.text();
}

test("a photo of this phone is shown at once, with the way to take it back", async () => {
  const html = await takePhoto("phase=before&strip=job&width=4&height=3");

  expect(html).toMatch(
    /<div id="photos"[^>]*>.*<img src="\/bench\/photos\/[0-9a-f]{64}\?size=small"/,
  );
  expect(html).toMatch(/<div id="kept"[^>]*>.*<img .*Kept. Photo, before/);
  const name = /photos\/([0-9a-f]{64})/.exec(html)?.[1];
  expect(await text(`${PATH}/photos/${name}`)).toContain(`src="/bench/photos/${name}"`);
  const bytes = await (await bench.get(`/bench/photos/${name}?size=small`)).arrayBuffer();
  expect(new Uint8Array(bytes)).toEqual(PICTURE);
});

test("a photo that another phone has not sent yet is said to be on its way", async () => {
  const sha256 = "d".repeat(64);
  bench.server.add(makeEntry({ kind: "photo", body: { sha256, phase: "detail", step: "pads" } }));
  await bench.syncer.sync({ force: true });

  for (const path of [PATH, `${PATH}/steps/pads`, `${PATH}/photos`])
    expect(await text(path)).toContain("Photo on its way from Otto&#39;s phone");
  await keepThumb({ sha256, job: JOB }, PICTURE.buffer);
  expect(await text(PATH)).toContain(`<img src="/bench/photos/${sha256}?size=small"`);
  expect(await text(PATH)).not.toContain("on its way");
});

test("the job says who else has it open, as last heard", async () => {
  const others = [{ job: JOB, by: OTTO, device: "Phone 3f2a", at: NOW.toISOString() }];
  bench.server.others = others;
  await bench.syncer.sync({ force: true });

  expect(await text(PATH)).toContain("Otto has this job open too: Phone 3f2a, today 10:15");
});

test("a phone at which nobody is set as working is told as a phone", async () => {
  bench.server.others = [{ job: JOB, by: null, device: "Stand 2", at: NOW.toISOString() }];
  await bench.syncer.sync({ force: true });

  expect(await text(PATH)).toContain("Another phone has this job open too: Stand 2, today 10:15");
});

test("where there is no such page nothing is offered to be fetched", async () => {
  expect(await text("/bench/nowhere")).not.toContain("Fetch and send now");
  expect(await text("/bench/jobs/unknown")).toContain("Fetch and send now");
});

test("the row of the next step says what can hurt and where its compound must never go", async () => {
  const never = { key: "grease", title: "Grease", never: "Not on rims" };
  const route = [
    makeStep("look", { cautions: ["It is heavy"], compound: never }),
    ...ROUTE.slice(1),
  ];
  bench.server.jobs = [makeHeader({ route })];
  await bench.syncer.sync({ force: true });
  const html = await text(PATH);

  expect(html).toMatch(/id="step-look".*class="care">.*It is heavy\..*Not on rims\./);
  expect(html.match(/class="care"/g)).toHaveLength(2);
});

test("the stages are drawn as wide as they have steps, and filled as far as they are done", async () => {
  const before = await text(PATH);
  expect(before).toMatch(/class="strip-done" d=""/);
  await bench.post(`${PATH}/steps/look/tick`, { outcome: "done", seen: "" });
  const [, all = "", done = ""] =
    /class="strip-all" d="([^"]*)".*class="strip-done" d="([^"]*)"/.exec(await text(PATH)) ?? [];

  // Six steps in six stages: the first is done whole.
  expect(all.split("z").filter(Boolean)).toHaveLength(6);
  expect(done).toBe(`${all.split("z")[0]}z`);
});
