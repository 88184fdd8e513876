/* Times, amounts and names as a person in the workshop says them. Knows no clock: the present is handed in. */
import { catalogue, say, word } from "../words/bench";

export type Clock = { now: Date; timezone: string };

const formats = new Map<string, Intl.DateTimeFormat>();

/** Making a format costs a slow phone more than the whole row it stands in. */
function formatOf(
  locale: string,
  timeZone: string,
  options: Intl.DateTimeFormatOptions,
): Intl.DateTimeFormat {
  const key = JSON.stringify([locale, timeZone, options]);
  const known = formats.get(key);
  if (known) return known;
  const made = makeFormat(locale, timeZone, options);
  formats.set(key, made);
  return made;
}

/** A time zone that this phone does not know is told as universal time. */
function makeFormat(locale: string, timeZone: string, options: Intl.DateTimeFormatOptions) {
  try {
    return new Intl.DateTimeFormat(locale, { ...options, timeZone });
  } catch {
    return new Intl.DateTimeFormat(locale, { ...options, timeZone: "UTC" });
  }
}

function told(date: Date, timezone: string, options: Intl.DateTimeFormatOptions): string {
  return formatOf(catalogue.locale, timezone, options).format(date);
}

export function timeOfDay(iso: string, clock: Clock): string {
  const date = new Date(iso);
  if (catalogue.locale === FIGURES_LOCALE) return figuresOf(date, clock.timezone).slice(-5);
  return told(date, clock.timezone, { hour: "2-digit", minute: "2-digit" });
}

const FIGURES_LOCALE = "en-GB";
const FIGURES: Intl.DateTimeFormatOptions = {
  year: "numeric",
  month: "2-digit",
  day: "2-digit",
  hour: "2-digit",
  minute: "2-digit",
};

/** “02/03/2026, 09:05” at the workshop, whatever the language: one format for all that is worked out from it. */
function figuresOf(date: Date, timezone: string): string {
  return formatOf(FIGURES_LOCALE, timezone, FIGURES).format(date);
}

/** The workshop's day as a count of days, and the minutes since it began, whatever the language. */
export function localTime(date: Date, timezone: string): { day: number; minute: number } {
  const figures = figuresOf(date, timezone).match(/\d+/g)?.map(Number);
  const [day, month, year, hours, minutes] = figures as [number, number, number, number, number];
  return { day: Date.UTC(year, month - 1, day) / 86_400_000, minute: hours * 60 + minutes };
}

function daysAhead(iso: string, clock: Clock): number {
  return localTime(new Date(iso), clock.timezone).day - localTime(clock.now, clock.timezone).day;
}

export function dayInWords(iso: string, clock: Clock): string {
  const days = daysAhead(iso, clock);
  if (days === 0) return say("when.today");
  if (days === 1) return say("when.tomorrow");
  if (days === -1) return say("when.yesterday");
  const options: Intl.DateTimeFormatOptions =
    Math.abs(days) < 7 ? { weekday: "long" } : { weekday: "short", day: "numeric", month: "long" };
  const day = told(new Date(iso), clock.timezone, options);
  return days < 0 && days > -7 ? say("when.last", { day }) : day;
}

/** The workshop's day as 2026-03-31. */
export function isoDay({ now, timezone }: Clock): string {
  return new Date(localTime(now, timezone).day * 86_400_000).toISOString().slice(0, 10);
}

/** A day that is written as 2026-03-31. */
export function dateInWords(day: string): string {
  return told(new Date(day), "UTC", { day: "numeric", month: "long", year: "numeric" });
}

export function whenInWords(iso: string, clock: Clock): string {
  return say("when.at", { day: dayInWords(iso, clock), time: timeOfDay(iso, clock) });
}

/** The promise as a heading of the list. */
export function promiseDay(iso: string | null, clock: Clock): string {
  if (iso === null) return say("promise.none");
  if (daysAhead(iso, clock) < 0) return say("promise.before-today");
  const day = dayInWords(iso, clock);
  return day.charAt(0).toLocaleUpperCase(catalogue.locale) + day.slice(1);
}

export function isLate(iso: string | null, clock: Clock): boolean {
  return iso !== null && new Date(iso) < clock.now;
}

export function money(minor: number, currency: string): string {
  const format = new Intl.NumberFormat(catalogue.locale, { style: "currency", currency });
  return format.format(minor / 100);
}

/** A value by itself, with a minus that is as wide as a plus. */
export function numeral(value: number): string {
  return catalogue.number(value).replace("-", "−");
}

/** Where a figure or a way of working comes from, with how far to trust it; nothing said twice. */
export function fromInWords(source?: string | null, kind?: string | null): string {
  const kindWords = kind ? word("source", kind) : "";
  const trust = kind === "common_practice" || kind === "memory" ? say(`trust.${kind}`) : "";
  return [source, source?.startsWith(kindWords) ? "" : kindWords, trust].filter(Boolean).join("; ");
}

export function sentence(text: string): string {
  const trimmed = text.trim();
  return trimmed === "" || /[.!?]$/.test(trimmed) ? trimmed : `${trimmed}.`;
}
