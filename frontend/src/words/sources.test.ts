/* Do the sources and the catalogue fit each other: no sentence beside it, no key unused, no other language off its keys? */
import { readdirSync, readFileSync } from "node:fs";
import { join, relative } from "node:path";
import ts from "typescript";
import { expect, test } from "vitest";
import english from "../../words/en.json";
import { STAGES } from "../trade/route";
import type { Sentence } from "./catalogue";

type Section = keyof typeof english;
type Catalogue = Record<string, Sentence>;

const SOURCES = new URL("../", import.meta.url).pathname;
const WORDS = new URL("../../words/", import.meta.url).pathname;

function filesIn(folder: string): string[] {
  return readdirSync(join(SOURCES, folder), { recursive: true, encoding: "utf8" })
    .filter((name) => /\.tsx?$/.test(name) && !/\.test\.|^testing\/|wire-types/.test(name))
    .map((name) => join(SOURCES, folder, name));
}

function sectionOf(file: string): Section {
  const folder = relative(SOURCES, file).split("/")[0];
  return folder === "page" || folder === "desk" ? folder : "bench";
}

const TEXTS = new Map(filesIn("").map((file) => [file, readFileSync(file, "utf8")]));

function textsOf(section: Section): string {
  return [...TEXTS]
    .flatMap(([file, text]) => (sectionOf(file) === section ? [text] : []))
    .join("\n");
}

/** A key is used where it is written whole, where its beginning is put together, or where its group is asked for a word. */
function isUsed(key: string, texts: string): boolean {
  if (texts.includes(`"${key}"`)) return true;
  const group = key.split(".")[0];
  if (texts.includes(`word("${group}"`)) return true;
  const starts = [...texts.matchAll(/`([a-z-]+\.[a-z.-]*)\$\{/g)].map((match) => match[1] ?? "");
  return starts.some((start) => key.startsWith(start));
}

test.each(Object.keys(english) as Section[])(
  "every sentence of “%s” is said somewhere",
  (section) => {
    const texts = textsOf(section);

    expect(Object.keys(english[section]).filter((key) => !isUsed(key, texts))).toEqual([]);
  },
);

test("a word is there for every stage of a route", () => {
  expect(STAGES.filter((stage) => !(`stage.${stage}` in english.bench))).toEqual([]);
});

const SPOKEN_PROPS =
  /^(aria-label|alt|error|hint|label|placeholder|sentence|title|what|word|words)$/;
/** Starts like a sentence and goes on with a second word; the header of a token does so too. */
const SENTENCE = /^(?!Bearer )(?=.*\p{Ll}{2})[“‘]?[A-Z…][^<>=;]*[\p{L}…,:”] [\p{L}…“(]/u;

function literalsIn(node: ts.Node): string | undefined {
  if (ts.isJsxText(node)) return /\p{L}/u.test(node.text) ? node.text.trim() : undefined;
  if (ts.isJsxAttribute(node)) return spokenProp(node);
  if (ts.isStringLiteralLike(node)) return SENTENCE.test(node.text) ? node.text : undefined;
  if (!ts.isTemplateExpression(node)) return undefined;
  const text = node.head.text + node.templateSpans.map((span) => `…${span.literal.text}`).join("");
  return SENTENCE.test(text) ? text : undefined;
}

function spokenProp({ name, initializer }: ts.JsxAttribute): string | undefined {
  const isText = initializer && ts.isStringLiteral(initializer) && /\p{L}/u.test(initializer.text);
  return isText && SPOKEN_PROPS.test(name.getText()) ? initializer.text : undefined;
}

/** What only whoever debugs will read. */
function isForDebugging(node: ts.Node): boolean {
  return ts.isNewExpression(node) && /^(Range|Type|Syntax)?Error$/.test(node.expression.getText());
}

function sentencesIn(file: string, text: string): string[] {
  const source = ts.createSourceFile(file, text, ts.ScriptTarget.ES2022, true);
  const found: string[] = [];
  const look = (node: ts.Node): void => {
    if (ts.isImportDeclaration(node) || isForDebugging(node)) return;
    const sentence = literalsIn(node);
    if (sentence) found.push(`${relative(SOURCES, file)}: ${sentence}`);
    ts.forEachChild(node, look);
  };
  look(source);
  return found;
}

/** The server refuses an entry with the same words; a phone shows the server's. */
const SHARED_WITH_THE_SERVER = /^(journal|trade)\//;

test("no sentence stands in the sources themselves", () => {
  const files = [...TEXTS].filter(
    ([file]) => !SHARED_WITH_THE_SERVER.test(relative(SOURCES, file)),
  );

  expect(files.flatMap(([file, text]) => sentencesIn(file, text))).toEqual([]);
});

test.each([
  ["<p>Hard words</p>", "Hard words"],
  ['<a aria-label="Close" />', "Close"],
  ['sayPlainly("Nothing was kept.", 409)', "Nothing was kept."],
  ["tell(`Kept $" + "{n} entries`)", "Kept … entries"],
])("%s would be found", (code, sentence) => {
  expect(sentencesIn(join(SOURCES, "a.tsx"), code)).toContain(`a.tsx: ${sentence}`);
});

const others = readdirSync(WORDS).filter((name) => name !== "en.json");

function formsOf(sentence: Sentence): string[] {
  return typeof sentence === "string" ? [sentence] : Object.values(sentence);
}

/** The placeholders and marks of a sentence, each once. */
function slots(sentence: Sentence): string {
  const all =
    formsOf(sentence)
      .join(" ")
      .match(/\{\w+\}|<\w+>/g) ?? [];
  return [...new Set(all)].sort().join(" ");
}

/** What is wrong with another language's file, a line for each key. */
function faultsOf(file: Record<string, Catalogue>): string[] {
  return Object.entries(file).flatMap(([section, sentences]) =>
    Object.entries(sentences).flatMap(([key, sentence]) => {
      const own = (english as Record<string, Catalogue>)[section]?.[key];
      if (own === undefined) return [`${section}: ${key} is no key of en.json`];
      const same = slots(own) === slots(sentence);
      return same ? [] : [`${section}: ${key} has other placeholders than in en.json`];
    }),
  );
}

test("every other language has the keys and placeholders of English", () => {
  for (const name of others) {
    expect(faultsOf(JSON.parse(readFileSync(WORDS + name, "utf8"))), name).toEqual([]);
  }
});

test("a key that English has not, and a placeholder that is missing, are found", () => {
  expect(
    faultsOf({ bench: { "today.jobs": "{n} Räder", "no.key": "x", "today.next": "Dann" } }),
  ).toEqual([
    "bench: no.key is no key of en.json",
    "bench: today.next has other placeholders than in en.json",
  ]);
});
