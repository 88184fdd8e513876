/* Does every page and fragment say only what the catalogue or the data says? */
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import type { Entry } from "../journal/entry";
import { type Bench, JOB, ROUTE } from "../testing/bench";
import { PSEUDO, pseudoSentences, untranslated } from "../testing/pseudo";
import { busy, MORE, openMarked, released } from "../testing/scenes";
import { catalogue } from "./bench";

let bench: Bench;

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
  ["a released bike", released],
];

test.each(scenes)("every page of %s", async (_, entries) => {
  bench = await openMarked(entries());

  expect(await seen()).toEqual([]);
});

test("every page of a phone without signal, with what waits and what was refused", async () => {
  bench = await openMarked(busy());
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
  bench = await openMarked(busy());
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
  bench = await openMarked(busy());
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
