/* Does every page and fragment say only what the catalogue or the data says? */
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import sent from "../../../fixtures/cases/catalogue.json";
import type { Entry } from "../journal/entry";
import type { Step } from "../journal/route";
import {
  type Bench,
  JOB,
  makeAsk,
  makeBench,
  makeEntry,
  makeHeader,
  makeStep,
  ROUTE,
  WORKSHOP,
} from "../testing/bench";
import { marked, PSEUDO, pseudoSentences, untranslated } from "../testing/pseudo";
import { catalogue } from "./bench";

const EPOCH = "22222222-2222-4222-8222-222222222222";

const torque = (item: string) =>
  makeAsk({
    item,
    kind: "torque",
    label: item,
    unit: "N·m",
    rule: { type: "band", min: 4, max: 6 },
  });

/** What the usual fixture lacks: choices, a photo, a run of fasteners, a compound, a source. */
const MORE: Step[] = [
  makeStep("bars", {
    stage: "assemble",
    source: "a handbook",
    source_kind: "handbook",
    compound: { key: "paste", title: "Paste", never: "Never on a brake" },
    asks: ["one", "two", "three", "four"].map(torque),
  }),
  makeStep("bell", {
    stage: "drive",
    after: [{ key: "stem", because: "it hangs there" }],
    asks: [
      makeAsk({ item: "bell", kind: "photo", label: "The bell", phases: ["found"] }),
      makeAsk({
        item: "sound",
        kind: "choice",
        label: "Its sound",
        phases: ["found"],
        choices: [
          { value: "clear", label: "clear", verdict: "sound" },
          { value: "dull", label: "dull", verdict: "renew" },
        ],
      }),
      makeAsk({ item: "wheel", label: "Wheel", rule: null, scale: null, mark: "See the rim" }),
    ],
  }),
];

const says = (kind: string, body: Entry["body"]) => makeEntry({ kind, body });
const reads = (step: string, item: string, phase: string, value: number | null, unit: string) =>
  says("reading", { step, item, phase, value, unit, ...(value === null && { loose: true }) });

function busy(): Entry[] {
  const [worn, cracked] = [true, false].map((safety) =>
    says("finding", { title: "Pads", reason: "worn", minutes: 20, parts: [], safety }),
  ) as [Entry, Entry];
  const note = says("note", { text: "The bell rattles", step: "wash" });
  const photo = { sha256: "a".repeat(64), mime: "image/jpeg", width: 4, height: 3, bytes: 9 };
  return [
    worn,
    cracked,
    note,
    ...Array.from({ length: 6 }, () => says("note", { text: "more" })),
    makeEntry({ kind: "void", body: { reason: "wrong bike" }, supersedes: [note.id] }),
    says("hands-on", {}),
    says("tick", { step: "wash", outcome: "done" }),
    says("tick", { step: "look", outcome: "not-needed", reason: "new" }),
    reads("pads", "front-pad", "found", 0.9, "mm"),
    reads("pads", "front-pad", "found", 2, "mm"),
    reads("pads", "chain", "found", 0.9, "%"),
    reads("pads", "chain", "left", 309, "mm"),
    reads("stem", "stem", "found", null, "N·m"),
    reads("stem", "stem", "left", 9, "N·m"),
    reads("bell", "wheel", "found", 3, "mm"),
    says("choice", { step: "bell", item: "sound", phase: "found", value: "dull" }),
    says("check", { step: "second_look", outcome: "not-agreed", text: "It is loose", seen: [] }),
    says("photo", { ...photo, phase: "before", step: "bell", item: "bell" }),
    says("photo", { ...photo, sha256: "b".repeat(64), phase: "detail", caption: "A dent" }),
    says("route-added", {
      finding: worn.id,
      title: "Pads",
      steps: [makeStep("renew_pads", { stage: "brakes" })],
    }),
  ];
}

const release = () => [
  ...busy(),
  says("check", { step: "second_look", outcome: "agreed", seen: [] }),
  says("released", { mode: "not-to-ride", reason: "The fork is cracked" }),
];

let bench: Bench;

/** A phone in a workshop whose every word of people and tables is marked. */
async function open(entries: Entry[]): Promise<void> {
  bench = await makeBench();
  const route = [...ROUTE, ...MORE];
  const history = "It was here in May";
  bench.server.jobs = marked([
    makeHeader({ route, history }),
    makeHeader({ id: "0190a000-0000-7000-8000-00000000000b", promised_at: null }),
    makeHeader({
      id: "0190a000-0000-7000-8000-00000000000c",
      promised_at: "2026-03-05T17:00:00Z",
      go_ahead_minor: 0,
      says: "",
    }),
  ]);
  bench.server.workshop = marked({ ...WORKSHOP, catalogue: sent.version });
  bench.server.catalogue = marked(sent);
  bench.server.epoch = EPOCH;
  for (const entry of marked(entries)) bench.server.add(entry);
  await bench.syncer.sync({ force: true });
}

beforeEach(() => {
  catalogue.speak(PSEUDO, pseudoSentences());
  vi.stubGlobal("reportError", (error: unknown) => {
    throw error;
  });
});
afterEach(() => {
  vi.unstubAllGlobals();
  catalogue.speak("en", {});
});

const SHA = "a".repeat(64);

function filled(path: string): string[] {
  const steps = [...ROUTE, ...MORE].flatMap((step) =>
    path.includes(":item")
      ? step.asks.map((ask) =>
          path.replace(":step", step.key).replace(":item", encodeURIComponent(ask.item)),
        )
      : [path.replace(":step", step.key)],
  );
  const paths = path.includes(":step") ? steps : [path];
  return paths.map((each) => each.replace(":job", JOB).replace(":sha256", SHA));
}

function routesOf(method: string): string[] {
  const paths = bench.app.routes.filter((route) => route.method === method).map(({ path }) => path);
  return [...new Set(paths)].flatMap(filled);
}

/** With the ways in which one address shows different things. */
const QUERIES = [
  "",
  "?phase=left",
  "?phase=found&run=torque",
  "?step=pads&item=front-pad",
  "?q=¤x¤",
];

async function problemsOf(response: Response, where: string): Promise<string[]> {
  const type = response.headers.get("Content-Type") ?? "";
  if (!/html|plain|json/.test(type)) return [];
  const body = await response.text();
  if (!type.includes("json")) return untranslated(body).map((text) => `${where}: ${text}`);
  const { message = "" } = JSON.parse(body) as { message?: string };
  return untranslated(message).map((text) => `${where}: ${text}`);
}

async function seen(): Promise<string[]> {
  const problems: string[] = [];
  for (const path of routesOf("GET")) {
    if (path.endsWith("/export")) continue;
    for (const query of QUERIES)
      problems.push(...(await problemsOf(await bench.get(path + query), path + query)));
  }
  return problems;
}

const scenes: Array<[string, () => Entry[]]> = [
  ["a new job", () => []],
  ["a job in full swing", busy],
  ["a released bike", release],
];

test.each(scenes)("every page of %s", async (_, entries) => {
  await open(entries());

  expect(await seen()).toEqual([]);
});

test("every page of a phone without signal, with what waits and what was refused", async () => {
  await open(busy());
  bench.server.refuse = (entry) =>
    entry.kind === "note"
      ? { code: "¤unknown-job¤", message: "¤The workshop has no such job¤" }
      : undefined;
  await bench.post(`/bench/jobs/${JOB}/note`, { text: "¤refused¤" });
  await bench.syncer.sync({ force: true });
  bench.server.online = false;
  await bench.post(`/bench/jobs/${JOB}/steps/look/tick`, { outcome: "done", seen: "" });
  await bench.post(`/bench/jobs/${JOB}/note`, { text: "¤mine¤" });
  await bench.syncer.sync({ force: true });

  expect(await seen()).toEqual([]);
});

test("every page of a phone that was signed out", async () => {
  await open(busy());
  await bench.post(`/bench/jobs/${JOB}/note`, { text: "¤mine¤" });
  bench.server.token = "another";
  await bench.syncer.sync({ force: true });

  expect(await seen()).toEqual([]);
});

/** What people send that is answered with more than a refusal. */
const SENT: Array<[string, Record<string, string>]> = [
  ["steps/look/tick", { outcome: "done", seen: "" }],
  ["steps/stem/tick", { outcome: "done", seen: "" }],
  ["steps/second_look/check", { outcome: "not-agreed", text: "" }],
  ["steps/second_look/check", { outcome: "agreed", text: "" }],
  ["steps/pads/not-needed", { reason: "" }],
  ["steps/pads/asks/front-pad/reading", { phase: "found", value: "¤x¤", unit: "mm" }],
  ["steps/pads/asks/front-pad/reading", { phase: "found", value: "900", unit: "mm" }],
  ["steps/pads/asks/front-pad/reading", { phase: "found", value: "0.2", unit: "mm" }],
  ["steps/pads/asks/front-pad/reading", { phase: "left", value: "3", unit: "¤inch¤" }],
  ["steps/pads/asks/chain/reading", { phase: "found", value: "200", unit: "mm" }],
  ["steps/stem/asks/stem/reading", { phase: "left", value: "9", unit: "N·m", run: "torque" }],
  ["steps/stem/asks/stem/reading", { phase: "found", loose: "1", unit: "N·m" }],
  ["steps/stem/asks/stem/reading", { phase: "left", value: "5", unit: "N·m", mark_min: "¤no¤" }],
  [
    "steps/stem/asks/stem/reading",
    { phase: "left", value: "5", unit: "N·m", mark_min: "6", mark_max: "4" },
  ],
  ["steps/bell/asks/sound/choice", { phase: "found", value: "clear" }],
  ["finding", { title: "¤Bell¤", reason: "", minutes: "¤soon¤", part: "", price: "5" }],
  ["finding", { title: "", reason: "", minutes: "", part: "¤Bell¤", price: "¤dear¤" }],
  ["hands", { on: "1" }],
];

test("every answer to what is sent, and every refusal", async () => {
  await open(busy());
  const problems: string[] = [];
  for (const [path, form] of SENT) {
    const response = await bench.post(`/bench/jobs/${JOB}/${path}`, form);
    problems.push(...(await problemsOf(response, `${path} ${JSON.stringify(form)}`)));
  }
  for (const path of routesOf("POST")) {
    problems.push(...(await problemsOf(await bench.post(path, {}), path)));
  }

  expect(problems).toEqual([]);
});

test("a text that is neither in the catalogue nor data is found wherever it is heard", () => {
  expect(untranslated("<p>¤data¤ ⟦ｓａｉｄ⟧ 4 mm</p>")).toEqual([]);
  expect(untranslated("<p>Hard words</p>")).toEqual(["Hard words"]);
  expect(untranslated('<a aria-label="Hard &amp; fast">1</a>')).toEqual(["Hard & fast"]);
});
