import { v7 } from "uuid";
import { beforeEach, expect, test } from "vitest";
import { findJob } from "../store/jobs";
import { setPerson } from "../store/meta";
import { countKept } from "../store/outbox";
import { findPhoto } from "../store/photos";
import { type Bench, JOB, MIRA, makeBench, makeEntry, OTTO, WRENCH } from "../testing/bench";

let bench: Bench;
const PATH = `/bench/jobs/${JOB}`;
const PADS = `${PATH}/steps/pads/asks/front-pad`;
const STEM = `${PATH}/steps/stem/asks/stem`;
const CHAIN = `${PATH}/steps/pads/asks/chain`;

beforeEach(async () => {
  bench = await makeBench();
});

async function entries() {
  return (await findJob(JOB))?.entries ?? [];
}

async function last() {
  return [...(await entries())].sort((one, other) => one.n - other.n).at(-1);
}

async function post(
  path: string,
  form: Record<string, string>,
  headers: Record<string, string> = {},
) {
  const response = await bench.post(path, form, headers);
  return { status: response.status, html: await response.text(), headers: response.headers };
}

test("a tick draws its row, its stage, the next step and the truth anew", async () => {
  const { status, html } = await post(`${PATH}/steps/look/tick`, { outcome: "done", seen: "" });

  expect(status).toBe(200);
  expect(html).toContain('id="step-look" class="step done"');
  expect(html).toContain('aria-pressed="true"');
  expect(html).toMatch(/id="step-pads" class="step next"[^>]*hx-swap-oob="outerMorph"/);
  expect(html).toContain('id="stage-intake"');
  expect(html).toContain("Step pads</span>");
  expect(html).toContain("1 kept on this phone");
  expect(await last()).toMatchObject({
    kind: "tick",
    by: MIRA,
    body: { step: "look", outcome: "done" },
  });
});

test("the same action sent again writes nothing more", async () => {
  const headers = { "X-Entry-Id": v7() };
  await post(`${PATH}/steps/look/tick`, { outcome: "done" }, headers);
  const again = await post(`${PATH}/steps/look/tick`, { outcome: "done" }, headers);

  expect(again.status).toBe(200);
  expect(await entries()).toHaveLength(1);
});

test("ticking ahead warns with the reason, and undo is an entry", async () => {
  const early = await post(`${PATH}/steps/wash/tick`, { outcome: "done" });
  expect(early.html).toContain("Done ahead of its turn");
  expect(early.html).toContain("“Step look” comes first: damage must be seen before it is clean.");

  const tick = await last();
  const undone = await post(`${PATH}/steps/wash/tick`, { outcome: "open", seen: tick?.id ?? "" });
  expect(undone.html).not.toContain("Done ahead");
  expect(undone.html).toContain('aria-pressed="false"');
  expect(await last()).toMatchObject({ body: { outcome: "open" }, supersedes: [tick?.id] });
});

test("other windows are told which job changed, and by which page", async () => {
  await post(`${PATH}/steps/look/tick`, { outcome: "done" }, { "X-Page": "page-1" });

  expect(bench.changed.at(-1)).toEqual({ jobs: [JOB], from: "page-1" });
});

test("a reading gets its verdict at once, with why and the next ask", async () => {
  const { html } = await post(`${PADS}/reading`, { phase: "found", value: "0,4", unit: "mm" });

  expect(html).toContain("0.4 mm");
  expect(html).toContain("chip renew");
  expect(html).toContain("0.4 mm is below the limit of 0.5 mm.");
  expect(html).toContain("Report it as a finding");
  expect(html).toContain("Next: Chain, found");
  expect(await last()).toMatchObject({
    kind: "reading",
    body: { step: "pads", item: "front-pad", phase: "found", value: 0.4, unit: "mm" },
  });
});

test.each([
  ["nothing", { value: "" }, "Type the reading first."],
  ["words", { value: "thin" }, "“thin” is no number."],
  ["an unfinished number", { value: "0." }, "“0.” is no number."],
  ["far too much", { value: "999999" }, "999999 mm is far beyond what is measured here."],
  ["another unit", { value: "4", unit: "psi" }, "Choose one of these units: mm."],
])("a reading of %s comes back with what was typed", async (_, form, sentence) => {
  const { status, html } = await post(`${PADS}/reading`, { phase: "found", unit: "mm", ...form });

  expect(status).toBe(422);
  expect(html).toContain(sentence);
  expect(html).toContain(`value="${form.value}"`);
  expect(await entries()).toHaveLength(0);
});

test("a torque in pound-force inches is judged in newton metres, with the wrench's uncertainty", async () => {
  const { html } = await post(`${STEM}/reading`, {
    phase: "left",
    value: "44",
    unit: "lbf·in",
    instrument: WRENCH,
  });

  expect(html).toContain("chip sound");
  // 4 % of 44, taken as evenly spread: 1.76 / √3 (GUM, JCGM 100, 4.3.7).
  expect(await last()).toMatchObject({
    body: { value: 44, unit: "lbf·in", instrument: WRENCH, u: 1.0161 },
  });
  const again = await (await bench.get(`${STEM}?phase=left`)).text();
  expect(again).toMatch(/value="lbf·in" selected/);
  expect(again).toMatch(new RegExp(`value="${WRENCH}" selected`));
});

test("a torque left outside its band is unsafe on a safety fastener, with the caution beside it", async () => {
  const { html } = await post(`${STEM}/reading`, { phase: "left", value: "9", unit: "N·m" });

  expect(html).toContain("chip unsafe");
  expect(html).toContain("A stem that turns throws the rider.");
});

test("the mark on the part comes before the table, on the phone too", async () => {
  const form = { phase: "left", value: "7", unit: "N·m", mark_max: "7" };
  const { html } = await post(`${STEM}/reading`, form);

  expect(html).toContain("chip sound");
  expect(html).toContain("5.6 to 7 N·m");
  expect(await last()).toMatchObject({ body: { value: 7, mark: { max: 7 } } });
  const again = await (await bench.get(`${STEM}?phase=found`)).text();
  expect(again).toMatch(/name="mark_max"[^>]*value="7"/);
});

test.each([
  ["is no number", { mark_min: "about 5", mark_max: "" }, "is no number"],
  ["is the wrong way round", { mark_min: "8", mark_max: "6" }, "Read the part again."],
])(
  "a mark that %s is refused with the reading, and both stay as typed",
  async (_, marks, sentence) => {
    const { status, html } = await post(`${STEM}/reading`, {
      phase: "left",
      value: "5",
      unit: "N·m",
      ...marks,
    });

    expect(status).toBe(422);
    expect(html).toContain(sentence);
    expect(html).toContain('value="5"');
    // The marks stand outside what is drawn anew.
    expect(html).not.toContain("mark_min");
    expect(await entries()).toHaveLength(0);
  },
);

test("a chain can be read with a ruler; the doubt of the ruler is written beside it", async () => {
  // 24 half links of 12.7 mm are 304.8 mm new (ISO 9633 pitch); 307.1 mm is 0.755 % longer.
  const { html } = await post(`${CHAIN}/reading`, { phase: "found", value: "307.1", unit: "mm" });

  expect(html).toContain("chip measure-again");
  expect(await last()).toMatchObject({ body: { value: 307.1, unit: "mm", u: 0.1524 } });
});

test("while a number is typed its marker moves, and half a number draws none", async () => {
  const typed = await (await bench.get(`${PADS}/band?phase=found&value=1.2&unit=mm`)).text();
  const half = await (await bench.get(`${PADS}/band?phase=found&value=&unit=mm`)).text();

  expect(typed).toContain("scale-typing");
  expect(half).not.toContain("scale-typing");
});

test("two phones that disagree are shown with both values, and whoever looks takes one", async () => {
  bench.server.add(
    makeEntry({
      kind: "reading",
      body: { step: "pads", item: "front-pad", phase: "found", value: 2, unit: "mm" },
    }),
  );
  await post(`${PADS}/reading`, { phase: "found", value: "0.9", unit: "mm" });
  await bench.syncer.sync({ force: true });
  const html = await (await bench.get(PATH)).text();
  expect(html).toContain("Two entries for Front pad, found");
  expect(html).toContain('<span class="take-value">2 mm</span>');
  expect(html).toContain('<span class="take-value">0.9 mm</span>');
  expect(html).toContain("Otto");

  const heads = (await entries()).map((entry) => entry.id);
  const taken = await post(`${PATH}/settle`, {
    step: "pads",
    take: heads[0] ?? "",
    seen: heads.join(","),
  });
  expect(taken.html).not.toContain("Two entries");
  expect((await last())?.supersedes).toEqual(heads);
});

test("settling with an entry that is gone is refused in words", async () => {
  const { status, html } = await post(`${PATH}/settle`, { step: "pads", take: v7(), seen: "" });

  expect(status).toBe(409);
  expect(html).toContain("changed meanwhile");
});

test("who did the work cannot check it; somebody else can", async () => {
  await post(`${STEM}/reading`, { phase: "left", value: "5", unit: "N·m" });
  const own = await post(`${PATH}/steps/second_look/check`, { outcome: "agreed" });
  expect(own.status).toBe(422);
  expect(own.html).toContain("Mira did part of this work, so somebody else must look.");

  await setPerson(OTTO);
  const silent = await post(`${PATH}/steps/second_look/check`, { outcome: "not-agreed", text: "" });
  expect(silent.html).toContain("Say what is not right");
  const other = await post(`${PATH}/steps/second_look/check`, { outcome: "agreed", text: "" });
  const kept = (await last())?.id;
  expect(other.headers.get("HX-Redirect")).toBe(`${PATH}?kept=${kept}#step-second_look`);
  expect(await last()).toMatchObject({ kind: "check", by: OTTO, body: { outcome: "agreed" } });
});

test("a safety step cannot be left out, another can", async () => {
  const safety = await post(`${PATH}/steps/pads/not-needed`, { reason: "lazy" });
  const other = await post(`${PATH}/steps/wash/not-needed`, { reason: "clean already" });

  expect([safety.status, other.status]).toEqual([409, 204]);
  expect(await last()).toMatchObject({
    body: { step: "wash", outcome: "not-needed", reason: "clean already" },
  });
});

test("taking back needs a reason and is for own entries only", async () => {
  await post(`${PATH}/note`, { text: "wrong bike" });
  const note = await last();
  const silent = await post(`${PATH}/void`, { entry: note?.id ?? "", reason: "" });
  expect([silent.status, silent.html.includes("Say why")]).toEqual([422, true]);
  const taken = await post(`${PATH}/void`, { entry: note?.id ?? "", reason: "other job" });
  expect(taken.headers.get("HX-Retarget")).toBe("#history");
  expect(await last()).toMatchObject({ kind: "void", supersedes: [note?.id] });

  bench.server.add(makeEntry({ kind: "note", body: { text: "Otto's" } }));
  await bench.syncer.sync({ force: true });
  const foreign = (await entries()).find((entry) => entry.by === OTTO);
  expect((await post(`${PATH}/void`, { entry: foreign?.id ?? "", reason: "no" })).status).toBe(409);
});

test("an empty note comes back, a note is kept with its step", async () => {
  expect((await post(`${PATH}/note`, { text: "  " })).html).toContain("Write something first.");
  const kept = await post(`${PATH}/note`, { text: "a & <b>", step: "pads" });

  expect(kept.headers.get("HX-Redirect")).toBe(`${PATH}#step-pads`);
  expect(await last()).toMatchObject({ kind: "note", body: { text: "a & <b>", step: "pads" } });
});

test("a finding from the list takes its words and minutes; the rest is asked for", async () => {
  const empty = await post(`${PATH}/finding`, {
    task: "",
    title: "",
    reason: "",
    minutes: "soon",
    price: "cheap",
    part: "",
  });
  expect(empty.status).toBe(422);
  for (const words of [
    "say what needs doing",
    "Say why",
    "Give whole minutes",
    "Type a price as 12.50",
    'value="soon"',
    'value="cheap"',
  ]) {
    expect(empty.html).toContain(words);
  }
  const kept = await post(`${PATH}/finding`, {
    task: "front-pads",
    title: "",
    reason: "0.4 mm left",
    minutes: "",
    part: "Pads",
    price: "12.50",
    "stock-0": "1",
    step: "pads",
    item: "front-pad",
    safety: "1",
  });
  expect(kept.headers.get("HX-Redirect")).toBe(`${PATH}#findings`);
  expect((await last())?.body).toEqual({
    title: "Front pads renewed",
    reason: "0.4 mm left",
    minutes: 20,
    safety: true,
    parts: [{ name: "Pads", in_stock: true, price_minor: 1250 }],
    step: "pads",
    item: "front-pad",
    task: "front-pads",
  });
});

async function sendPhoto(bytes: BodyInit, type = "image/jpeg") {
  const url = `${PATH}/photos?phase=before&step=pads&item=front-pad&width=1600&height=1200`;
  return bench.app.request(url, { method: "POST", body: bytes, headers: { "Content-Type": type } });
}

test("a photo is kept as bytes under its hash, shown from the phone, and sent after the entries", async () => {
  const response = await sendPhoto(new Uint8Array([1, 2, 3]));
  const html = await response.text();
  // SHA-256 of the bytes 01 02 03, by coreutils sha256sum.
  const sha256 = "039058c6f2c0cb492c533b0a4d14ef77cc0f78abccced5287d84a1a2011cfb81";

  expect(html).toContain(`/bench/photos/${sha256}`);
  expect(await last()).toMatchObject({
    kind: "photo",
    body: { sha256, width: 1600, bytes: 3, step: "pads", item: "front-pad" },
  });
  expect(new Uint8Array(await (await bench.get(`/bench/photos/${sha256}`)).arrayBuffer())).toEqual(
    new Uint8Array([1, 2, 3]),
  );
  await bench.syncer.photos({ force: true });
  expect(bench.server.photos.whole.get(sha256)).toEqual(new Uint8Array([1, 2, 3]));
  expect((await findPhoto(sha256))?.unsent).toBeUndefined();
});

test("an empty photo, and what is no picture, are refused in words", async () => {
  const empty = await sendPhoto(new Uint8Array([]));
  const text = await sendPhoto("hello", "text/plain");

  expect([empty.status, await empty.text()]).toEqual([
    422,
    "The photo arrived empty and was not kept. Take it again.",
  ]);
  expect([text.status, await text.text()]).toEqual([
    422,
    "That is no picture. Take a photo or choose one.",
  ]);
  expect(await entries()).toHaveLength(0);
});

test("a photo the server will not take stays here with its reason", async () => {
  await sendPhoto(new Uint8Array([9]));
  bench.server.photos.trouble = { status: 422, message: "That is no picture." };
  await bench.syncer.photos({ force: true });

  expect(await (await bench.get("/bench/kept")).text()).toContain("That is no picture.");
  expect((await countKept()).photos).toBe(0);
});

test("with nobody at work nothing is written, and the sentence says what to do", async () => {
  await setPerson("");
  const { status, html } = await post(`${PATH}/steps/look/tick`, { outcome: "done" });

  expect(status).toBe(507);
  expect(html).toContain("Who works?");
  expect(await entries()).toHaveLength(0);
});
