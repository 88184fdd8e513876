import fc from "fast-check";
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { type Bench, makeBench } from "../testing/bench";
import { dayInWords } from "../views/words";
import { catalogue } from "./bench";
import { Catalogue } from "./catalogue";
import { chooseLanguage, learnLanguage } from "./languages";

const LANGUAGES = { de: "/static/words-de.json", "pt-BR": "/static/words-pt-BR.json" };

test.each([
  [["de"], "de"],
  [["de-AT", "en"], "de"],
  [["pt-br"], "pt-BR"],
  [["pt-PT", "de"], "de"],
  [["en-GB", "de"], undefined],
  [["fr"], undefined],
  [[], undefined],
])("a device that reads %j is spoken to in %s", (wanted, language) => {
  expect(chooseLanguage(wanted, LANGUAGES)).toBe(language);
});

const GERMAN = {
  bench: {
    "today.jobs": { one: "{n} Rad", other: "{n} Räder" },
    "today.next": "Als Nächstes: {step}",
    "when.today": "heute",
  },
};

async function learn(answer: () => Promise<Response>): Promise<void> {
  await learnLanguage(catalogue, "bench", ["de-AT", "en"], LANGUAGES, answer);
}

let bench: Bench;
beforeEach(async () => {
  bench = await makeBench();
});
afterEach(() => {
  catalogue.speak("en", {});
  vi.unstubAllGlobals();
});

test("the pages are drawn in the language that was learnt, with its plurals and days", async () => {
  await learn(async () => Response.json(GERMAN));
  const html = await (await bench.get("/bench/")).text();

  expect(html).toContain('<html lang="de">');
  expect(html).toContain("<h1>1 Rad</h1>");
  expect(html).toContain('<h2 class="day-heading">Heute');
  expect(html).toContain("Als Nächstes: Step look");
  const clock = { now: new Date("2026-03-02T10:00:00Z"), timezone: "Europe/Berlin" };
  expect(dayInWords("2026-03-04T10:00:00Z", clock)).toBe("Mittwoch");
});

test("what another language lacks is said in English", async () => {
  await learn(async () => Response.json(GERMAN));

  expect(catalogue.say("job.no-limit")).toBe("No extra work without asking.");
});

test("without its file the bench speaks English, and whoever debugs is told", async () => {
  const reportError = vi.fn();
  vi.stubGlobal("reportError", reportError);
  await learn(async () => {
    throw new TypeError("no connection");
  });

  expect(catalogue.say("when.today")).toBe("today");
  expect(catalogue.language).toBe("en");
  expect(reportError).toHaveBeenCalledOnce();
});

test("a language with more plural forms than English has each of them", () => {
  const few = new Catalogue({ "x.n": { one: "{n} job", other: "{n} jobs" } });
  few.speak("pl", { "x.n": { one: "{n} rower", few: "{n} rowery", other: "{n} rowerów" } });

  expect([1, 2, 5].map((n) => few.say("x.n", { n }))).toEqual(["1 rower", "2 rowery", "5 rowerów"]);
});

test("numbers in a sentence are written as the language does", () => {
  const words = new Catalogue({ "x.value": "{value} mm" });
  words.speak("de", {});

  expect(words.say("x.value", { value: 0.35 })).toBe("0,35 mm");
});

test("words to be drawn in their own way come as pieces, filled like the rest", () => {
  const words = new Catalogue({ "x.look": "<b>{name}</b> says “{text}”, <i>look</i>." });
  const draw = { b: (bold: string) => ({ bold }), i: (bold: string) => ({ bold }) };

  expect(words.rich("x.look", draw, { name: "<i>Mira</i>", text: "{name}" })).toEqual([
    "",
    { bold: "<i>Mira</i>" },
    " says “{name}”, ",
    { bold: "look" },
    ".",
  ]);
});

test("English numbers and plurals are those of the browser's own rules", () => {
  const numbers = new Intl.NumberFormat("en-GB", { maximumFractionDigits: 3, useGrouping: false });
  const plurals = new Intl.PluralRules("en-GB");
  const spoken = new Catalogue({ bike: { one: "one", other: "other" } });
  const value = fc.oneof(
    fc.integer({ min: -2000, max: 2000 }),
    fc.integer().map((whole) => whole / 1000),
    fc.double({ noNaN: true, min: -1e18, max: 1e18 }).filter((each) => Math.abs(each) >= 0.001),
  );
  fc.assert(
    fc.property(value, (each) => {
      expect(spoken.number(each)).toBe(numbers.format(each));
      expect(spoken.say("bike", { n: each })).toBe(plurals.select(each));
    }),
  );
});
