/*
 * Finds a step of a job, or a job of the list, by a few letters of it: no case, no accents, words in any order. What
 * is misspelt is looked for only when nothing has it as it was typed. Pure.
 */
import { distance } from "fastest-levenshtein";
import { tagCode } from "../journal/tag-code";
import type { ListedJob } from "../store/schema";
import { word } from "../words/bench";
import type { StepView } from "./job-model";

function plain(text: string): string {
  return text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
}

function wordsOf(query: string): string[] {
  return plain(query)
    .split(/[\s,]+/)
    .filter(Boolean);
}

/**
 * How well the fields answer the words: 0 is best, null is not at all. Earlier fields count more, and
 * so does the beginning of a word.
 */
function rank(fields: readonly string[], words: readonly string[]): number | null {
  const texts = fields.map((field) => ` ${plain(field)}`);
  let total = 0;
  for (const each of words) {
    const at = texts.findIndex((text) => text.includes(` ${each}`));
    const within = texts.findIndex((text) => text.includes(each));
    if (within < 0) return null;
    total += at < 0 ? within + texts.length : Math.min(at, within + texts.length);
  }
  return total;
}

/** Short words are easily another word. */
function wrongLetters({ length }: string): number {
  if (length < 4) return 0;
  return length < 6 ? 1 : 2;
}

/** Whether a word of the text begins nearly as the typed one. */
function isNearly(text: string, typed: string): boolean {
  const lengths = [typed.length - 1, typed.length, typed.length + 1];
  return wordsOf(text).some((each) =>
    lengths.some((length) => distance(each.slice(0, length), typed) <= wrongLetters(typed)),
  );
}

/** The same with misspelt words; the earlier the field, the better. */
function rankNearly(fields: readonly string[], words: readonly string[]): number | null {
  const places = words.map((typed) => fields.findIndex((field) => isNearly(field, typed)));
  return places.includes(-1) ? null : places.reduce((sum, place) => sum + place, 0);
}

function best<T>(all: readonly T[], query: string, fieldsOf: (one: T) => string[]): T[] {
  const words = wordsOf(query);
  if (words.length === 0) return [];
  const asTyped = ranked(all, (one) => rank(fieldsOf(one), words));
  return asTyped.length > 0 ? asTyped : ranked(all, (one) => rankNearly(fieldsOf(one), words));
}

function ranked<T>(all: readonly T[], rankOf: (one: T) => number | null): T[] {
  return all
    .map((one) => ({ one, rank: rankOf(one) }))
    .filter((each): each is { one: T; rank: number } => each.rank !== null)
    .sort((left, right) => left.rank - right.rank)
    .map(({ one }) => one);
}

/** By title, then what it asks, what goes on it, its stage, and how it is done. */
export function findSteps(steps: readonly StepView[], query: string): StepView[] {
  return best(steps, query, ({ step }) => [
    step.title,
    step.asks.map((ask) => ask.label).join(" "),
    step.compound?.title ?? "",
    word("stage", step.stage),
    [step.how, ...(step.points ?? [])].join(" "),
  ]);
}

/** By number, tag, bike, first name and service; a number may be typed without its letter and zeros. */
export function findJobs(jobs: readonly ListedJob[], query: string): ListedJob[] {
  return best(jobs, query, ({ header }) => [
    `${header.number} ${Number(header.number.replace(/\D/g, ""))} ${tagCode(header.id)}`,
    header.bike,
    header.customer,
    word("service", header.service),
  ]);
}

/** The one job whose number was typed, with or without its letter and zeros. */
export function jobOfNumber(jobs: readonly ListedJob[], query: string): ListedJob | undefined {
  const digits = /^\D*0*(\d+)$/.exec(query.trim())?.[1];
  const same = jobs.filter(({ header }) => digits && header.number.replace(/\D*0*/, "") === digits);
  return same.length === 1 ? same[0] : undefined;
}
