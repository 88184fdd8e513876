/*
 * A language that nobody speaks, made from the English catalogue: every letter of a sentence is wide, and the
 * sentence stands in brackets. What is read on a page and is neither wide nor marked as data was not translated.
 */
import { bench } from "../../words/en.json";
import type { Sentence } from "../words/catalogue";

/** Days and months of this language have no Latin letter, so they are told apart from English ones. */
export const PSEUDO = "el";

const WIDE = 0xfee0;

function wide(text: string): string {
  return text.replace(/[A-Za-z]/g, (letter) => String.fromCharCode(letter.charCodeAt(0) + WIDE));
}

/** Placeholders and the names of marks are no words. */
function said(sentence: string): string {
  const pieces = sentence.split(/(\{\w+\}|<\/?\w+>)/);
  return `⟦${pieces.map((piece, at) => (at % 2 === 0 ? wide(piece) : piece)).join("")}⟧`;
}

function each(sentence: Sentence): Sentence {
  if (typeof sentence === "string") return said(sentence);
  return { other: said(sentence.other) };
}

export function pseudoSentences(): Record<keyof typeof bench, Sentence> {
  const told = Object.entries(bench as Record<string, Sentence>);
  return Object.fromEntries(told.map(([key, sentence]) => [key, each(sentence)])) as never;
}

/** Fields that hold what people wrote or what the trade's tables say. */
const WRITTEN = new Set(
  "title how why because label note mark source points cautions never name number bike customer says history text reason caption bath message".split(
    " ",
  ),
);

/** The same data with every text of people and tables between two signs. */
export function marked<T>(data: T, field = ""): T {
  if (typeof data === "string") return (WRITTEN.has(field) && data ? `¤${data}¤` : data) as T;
  if (Array.isArray(data)) return data.map((one) => marked(one, field)) as T;
  if (data === null || typeof data !== "object") return data;
  return Object.fromEntries(
    Object.entries(data).map(([name, value]) => [name, marked(value, name)]),
  ) as T;
}

const SPOKEN = /\s(?:aria-label|alt|placeholder|title|label|content)="([^"]*)"/g;
/** What is written the same in every language: units, a currency, the version and the short name of a device. */
const SAME = /GBP|N·m|lbf·in|lbf·ft|kgf·cm|\bmm\b|%|£|\b0190a000\b|\btest\b/g;

/** Everything a person sees or hears of an answer, tags and what stands in no one's language left out. */
export function heard(body: string): string[] {
  const head = body.replace(/<meta[^>]*>/g, "");
  const attributes = [...head.matchAll(SPOKEN)].map((match) => match[1] ?? "");
  return [...head.split(/<[^>]*>/), ...attributes].map(decoded).filter((text) => text.trim());
}

function decoded(text: string): string {
  return text
    .replace(/&lt;/g, "<")
    .replace(/&gt;/g, ">")
    .replace(/&quot;/g, '"')
    .replace(/&#39;/g, "'")
    .replace(/&amp;/g, "&");
}

/** The texts that neither the catalogue nor the data said. */
export function untranslated(body: string): string[] {
  return heard(body).filter((text) =>
    /[A-Za-z]/.test(text.replace(/¤[^¤]*¤/g, "").replace(SAME, "")),
  );
}
