import { beforeEach, expect, test } from "vitest";
import sent from "../../../fixtures/cases/catalogue.json";
import { digestOf } from "../journal/digest";
import { tagCode } from "../journal/tag-code";
import { appendEntry } from "../store/append";
import { edit } from "../store/database";
import { findJob, listJobs } from "../store/jobs";
import { keepCatalogue, setPerson } from "../store/meta";
import { countKept } from "../store/outbox";
import { listRefused } from "../store/refused";
import { findDraft } from "../store/walk-in-draft";
import {
  findWalkIn,
  listUnsentWalkIns,
  markWalkInRefused,
  markWalkInSent,
} from "../store/walk-ins";
import {
  type Bench,
  connect,
  DEVICE,
  freshDatabase,
  JOB,
  MIRA,
  makeEntry,
  WORKSHOP,
} from "../testing/bench";
import { FakeServer } from "../testing/fake-server";
import type { Catalogue } from "../trade/catalogue";
import { compose } from "../trade/compose";

const CATALOGUE = sent as unknown as Catalogue;
const ID = "0190a000-0000-7000-8000-00000000beef";
const OTHER = "0190a000-0000-7000-8000-00000000cafe";
const FORM = {
  job: ID,
  name: "Jana Novak",
  phone: "020 7946 0123",
  bike: "moss-green city bike",
  kind: "city",
  service: "standard",
  says: "It <clicks>",
  limit: "40",
};

let bench: Bench;

beforeEach(async () => {
  freshDatabase();
  await edit(["meta"], async (tx) => {
    const meta = tx.objectStore("meta");
    await meta.put({ device: DEVICE, token: "good-token" }, "device");
    await meta.put(WORKSHOP, "workshop");
    await meta.put(MIRA, "person");
  });
  await keepCatalogue(CATALOGUE);
  bench = connect(new FakeServer());
});

async function html(path: string): Promise<string> {
  return (await bench.get(path)).text();
}

async function post(path: string, form: Record<string, string>) {
  const response = await bench.post(path, form);
  return { status: response.status, html: await response.text(), headers: response.headers };
}

const open = (more: Record<string, string> = {}) => post("/bench/walk-in", { ...FORM, ...more });
const look = (more: Record<string, string> = {}) =>
  post("/bench/walk-in/look", { ...FORM, ...more });

test("the list of jobs leads to the form in one tap", async () => {
  expect(await html("/bench/")).toContain('href="/bench/walk-in"');
  expect(await html("/bench/walk-in")).toContain('type="tel"');
});

test("every page has the strict headers and nothing inline", async () => {
  await open();

  for (const path of ["/bench/walk-in", `/bench/walk-in/${ID}`]) {
    const response = await bench.get(path);
    expect(response.headers.get("Content-Security-Policy")).toContain("default-src 'none'");
    expect(await response.text()).not.toMatch(/ style="| on[a-z]+="|<script(?![^>]*src=)/);
  }
});

test("a bike is found by what its tag says, also once it has a number", async () => {
  await open();
  await markWalkInSent(ID, "J-0044");

  expect(await html(`/bench/find?q=${tagCode(ID).toLowerCase()}`)).toContain(
    "moss-green city bike",
  );
});

test("a phone that never had the catalogue says what to do", async () => {
  await edit(["meta"], (tx) => tx.objectStore("meta").delete("catalogue"));

  expect(await html("/bench/walk-in")).toContain("Open the bench once with a connection");
  expect((await open()).html).toContain("Open the bench once with a connection");
});

test("the kind presets what is usual, in words, and how long each service takes", async () => {
  const { html: drawn } = await look();

  expect(drawn).toContain("Brakes: Drum or roller. Gears: Hub gear.");
  expect(drawn).toContain("Rack.");
  expect(drawn).not.toContain("Rim brakes are");
  expect(drawn).toContain("about 1 h 04");
  expect(drawn).toContain("about 3 h 36");
  expect(drawn).not.toContain('name="trait-brakes"');
});

test("what differs is chosen, counts at once, and asks only for what the bike can have", async () => {
  const first = await look({ differs: "1", "drawn-for": "city", traits: "{}" });
  const traits = JSON.stringify(CATALOGUE.offered.city);
  const { html: drawn } = await look({
    differs: "1",
    "drawn-for": "city",
    traits,
    "trait-brakes": "disc",
    "trait-hydraulic": "true",
    "trait-rotor": "lockring",
    "trait-sprockets": "1",
    "trait-rack": "",
  });

  expect(first.html).toContain('name="trait-brakes"');
  expect(drawn).toContain("Brakes: Disc.");
  expect(drawn).toContain("Rotors: Lockring.");
  expect(drawn).not.toContain("Rack.");
  expect(drawn).toContain('name="trait-caliper_mount"');
  expect(drawn).not.toContain('name="trait-sprockets"');
  expect((await findDraft())?.typed.traits).toMatchObject({
    brakes: "disc",
    hydraulic: true,
    rotor: "lockring",
    rack: false,
    axle: "nutted",
  });
});

test("another kind starts again from what is usual for it", async () => {
  await look({ differs: "1", "drawn-for": "city", traits: '{"brakes":"disc","suspension":true}' });
  await look({ kind: "road", differs: "1", "drawn-for": "city", traits: '{"suspension":true}' });

  expect((await findDraft())?.typed.traits).toEqual(CATALOGUE.offered.road);
});

test("what is half typed is there again after the phone died", async () => {
  const { status } = await post("/bench/walk-in/draft", {
    job: ID,
    name: "Ja",
    phone: "+44",
    says: "rattles & <squeaks>",
  });

  const again = await html("/bench/walk-in");

  expect(status).toBe(204);
  expect(again).toContain('value="Ja"');
  expect(again).toContain('value="+44"');
  expect(again).toContain("rattles &amp; &lt;squeaks&gt;");
  expect(again).toContain(`value="${ID}"`);
  expect(await listJobs()).toEqual([]);
});

test("an emptied form can be brought back", async () => {
  await post("/bench/walk-in/draft", FORM);
  await post("/bench/walk-in/empty", {});
  const emptied = await html("/bench/walk-in");
  await post("/bench/walk-in/draft", { job: ID, name: "" });
  await post("/bench/walk-in/back", {});

  expect(emptied).not.toContain("Jana Novak");
  expect(emptied).toContain("Bring back what was there");
  expect(await html("/bench/walk-in")).toContain("Jana Novak");
});

test("what cannot be used is said beside its field, and nothing typed is lost", async () => {
  const { status, html: drawn } = await open({ name: "", bike: "", kind: "", limit: "a lot" });

  expect(status).toBe(422);
  expect(drawn).toMatch(/id="name-error"[^>]*>Write the customer(&#39;|')s name/);
  expect(drawn).toContain('href="#kind"');
  expect(drawn).toContain("Type an amount as 40 or 12.50");
  expect(drawn).toContain('value="a lot"');
  expect(drawn).toContain("It &lt;clicks&gt;");
  expect(await listJobs()).toEqual([]);
});

test.each(["", "12", "ask Jana", "+44 20"])("the number “%s” is kept as it is", async (phone) => {
  const { status, headers } = await open({ phone });

  expect(status).toBe(204);
  expect(headers.get("HX-Redirect")).toBe(`/bench/walk-in/${ID}`);
  expect((await findWalkIn(ID))?.phone).toBe(phone);
  expect(await html(`/bench/walk-in/${ID}`)).toContain("the desk will look at it");
});

test("a number that can be rung is not remarked on", async () => {
  const { html: odd } = await post("/bench/walk-in/number", { ...FORM, phone: "12" });
  const { html: plain } = await post("/bench/walk-in/number", FORM);

  expect(odd).toContain("the desk will look at it");
  expect(plain).toContain("The desk texts this number");
});

test("the job is there at once, with the route that the server composes too", async () => {
  await open();

  const [listed] = await listJobs();
  const job = await findJob(ID);
  const route = compose(CATALOGUE, CATALOGUE.offered.city ?? {}, "standard");
  expect(job?.header.route).toEqual(route);
  expect(listed?.header).toMatchObject({
    number: `Tag ${tagCode(ID)}`,
    bike: "moss-green city bike",
    customer: "Jana",
    go_ahead_minor: 4000,
    currency: "GBP",
    promised_at: null,
  });
  expect(listed?.header.tasks).toContain("front-hub-bearings");
  expect(listed?.summary).toMatchObject({ place: "booked", done: 0, total: route.length });
  expect(await findWalkIn(ID)).toMatchObject({
    customer_name: "Jana Novak",
    phone: "020 7946 0123",
    traits: CATALOGUE.offered.city,
    by: MIRA,
    catalogue: CATALOGUE.version,
    route: await digestOf(route),
    unsent: 1,
  });
  expect((await listUnsentWalkIns())[0]?.steps).toEqual(route);
});

test("the form is empty afterwards, and what was still on its way does not fill it again", async () => {
  await open();
  await post("/bench/walk-in/draft", FORM);

  expect(await findDraft()).toBeUndefined();
});

test("the same form twice is one job, as it was the first time", async () => {
  await open();
  await open({ bike: "another bike" });

  expect(await listJobs()).toHaveLength(1);
  expect((await findWalkIn(ID))?.bike_words).toBe("moss-green city bike");
});

test("work begins at once: a tick and a reading are kept on it", async () => {
  await open();
  const job = `/bench/jobs/${ID}`;

  const tick = await post(`${job}/steps/identify/tick`, { outcome: "done", seen: "" });
  const route = (await findJob(ID))?.header.route ?? [];
  const asks = route.flatMap((step) => step.asks.map((ask) => ({ step, ask })));
  const measured = asks.find(({ ask }) => ask.kind === "reading");
  const reading = await post(
    `${job}/steps/${measured?.step.key}/asks/${measured?.ask.item}/reading`,
    {
      phase: "found",
      value: "2.5",
      unit: measured?.ask.unit ?? "",
    },
  );

  expect([tick.status, reading.status]).toEqual([200, 200]);
  expect((await findJob(ID))?.entries.map(({ kind }) => kind)).toEqual(["tick", "reading"]);
  expect((await listJobs())[0]?.summary).toMatchObject({ place: "on the stand" });
});

test("with nobody at work no job is opened, and what was typed stays", async () => {
  await setPerson("");

  const { status, html: said } = await open();

  expect(status).toBe(507);
  expect(said).toContain("Who works?");
  expect(await listJobs()).toEqual([]);
  expect((await findDraft())?.typed.name).toBe("Jana Novak");
});

test("the tag's code stands large until the desk has a number, and then the tag is to be changed", async () => {
  await open();
  const code = tagCode(ID);
  const before = await html(`/bench/walk-in/${ID}`);
  await markWalkInSent(ID, "J-0044");
  const list = await html("/bench/");
  await post(`/bench/walk-in/${ID}/labelled`, {});

  expect(before).toContain(`class="tag-code">${code}<`);
  expect(await html(`/bench/walk-in/${ID}`)).toContain('class="tag-code">J-0044<');
  expect(list).toContain(`The bike with the tag ${code} is J-0044 now.`);
  expect(await html("/bench/")).not.toContain(code);
});

test("with signal the job goes first and its work after it, so that none is refused", async () => {
  const { server, syncer } = bench;
  server.online = false;
  await open();
  await post(`/bench/jobs/${ID}/steps/identify/tick`, { outcome: "done", seen: "" });
  const without = await syncer.sync({ force: true });
  server.online = true;
  server.refuse = ({ job }) =>
    server.walkIns.has(job) ? undefined : { code: "unknown-job", message: "No such job." };
  const withSignal = await syncer.sync({ force: true });

  expect([without.ok, withSignal.ok]).toEqual([false, true]);
  expect(server.walkIns.get(ID)).toMatchObject({
    customer_name: "Jana Novak",
    service: "standard",
  });
  expect(server.stored.map(({ entry }) => [entry.job, entry.kind])).toEqual([[ID, "tick"]]);
  expect(await listRefused()).toEqual([]);
  expect((await countKept()).entries).toBe(0);
});

test("while the server cannot take the job its work waits, and other work goes", async () => {
  const { server, syncer } = bench;
  server.refuseWalkIn = { code: "unknown-person", message: "Choose who works." };
  await open();
  await post(`/bench/jobs/${ID}/steps/identify/tick`, { outcome: "done", seen: "" });
  await appendEntry(makeEntry({ job: JOB, kind: "note", body: { text: "…" } }));
  await syncer.sync({ force: true });
  const held = server.stored.map(({ entry }) => entry.job);
  server.refuseWalkIn = undefined;
  await post(`/bench/walk-in/${ID}/mend`, {});
  await open();
  await syncer.sync({ force: true });

  expect(held).toEqual([JOB]);
  expect(server.stored.map(({ entry }) => entry.job)).toEqual([JOB, ID]);
  expect(await listRefused()).toEqual([]);
});

test("a walk-in that was refused stays listed, and its page says why", async () => {
  await open();
  await markWalkInRefused(ID, { code: "traits", message: "The traits cannot be read." });

  expect(await listJobs()).toHaveLength(1);
  expect(await html(`/bench/walk-in/${ID}`)).toContain("The traits cannot be read.");
});

test("a refused one is mended under its id, and what was half typed of another is not lost", async () => {
  await open();
  await post(`/bench/jobs/${ID}/steps/identify/tick`, { outcome: "done", seen: "" });
  await markWalkInRefused(ID, { code: "not-clear", message: "Write it anew." });
  await post("/bench/walk-in/draft", { job: OTHER, name: "Sam" });

  await post(`/bench/walk-in/${ID}/mend`, {});
  const form = await html("/bench/walk-in");
  const { status } = await open({ name: "Jana N.", kind: "mtb", service: "safety" });

  expect(form).toContain(`value="${ID}"`);
  expect(form).toContain('value="40.00"');
  expect(status).toBe(204);
  expect(await findWalkIn(ID)).toMatchObject({
    customer_name: "Jana N.",
    service: "safety",
    unsent: 1,
  });
  expect((await findWalkIn(ID))?.refused).toBeUndefined();
  expect((await findJob(ID))?.entries).toHaveLength(1);
  expect((await listJobs())[0]).toMatchObject({
    header: { service: "safety" },
    summary: { done: 1 },
  });
  expect((await findDraft())?.typed.name).toBe("Sam");
});

test("a job from the desk is no walk-in, and an address of none says so", async () => {
  expect((await bench.get(`/bench/walk-in/${ID}`)).status).toBe(410);
});
