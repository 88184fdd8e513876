/* Times, amounts and names as a person in the workshop says them. Knows no clock: the present is handed in. */

export type Clock = { now: Date; timezone: string };

function parts(date: Date, timezone: string, options: Intl.DateTimeFormatOptions): string {
  try {
    return new Intl.DateTimeFormat("en-GB", { ...options, timeZone: timezone }).format(date);
  } catch {
    return new Intl.DateTimeFormat("en-GB", { ...options, timeZone: "UTC" }).format(date);
  }
}

export function timeOfDay(iso: string, clock: Clock): string {
  return parts(new Date(iso), clock.timezone, { hour: "2-digit", minute: "2-digit" });
}

/** The calendar day in the workshop, as 2026-03-04. */
function dayOf(date: Date, timezone: string): string {
  const text = parts(date, timezone, { year: "numeric", month: "2-digit", day: "2-digit" });
  return text.split("/").reverse().join("-");
}

function daysBetween(from: string, to: string): number {
  return Math.round((Date.parse(to) - Date.parse(from)) / 86_400_000);
}

export function dayInWords(iso: string, clock: Clock): string {
  const date = new Date(iso);
  const days = daysBetween(dayOf(clock.now, clock.timezone), dayOf(date, clock.timezone));
  if (days === 0) return "today";
  if (days === 1) return "tomorrow";
  if (days === -1) return "yesterday";
  const options: Intl.DateTimeFormatOptions =
    Math.abs(days) < 7 ? { weekday: "long" } : { weekday: "short", day: "numeric", month: "long" };
  const day = parts(date, clock.timezone, options);
  return days < 0 && days > -7 ? `last ${day}` : day;
}

export function whenInWords(iso: string, clock: Clock): string {
  return `${dayInWords(iso, clock)} ${timeOfDay(iso, clock)}`;
}

/** The promise as a heading of the list. */
export function promiseDay(iso: string | null, clock: Clock): string {
  if (iso === null) return "No day promised";
  if (new Date(iso) < clock.now && dayInWords(iso, clock) !== "today")
    return "Promised before today";
  const day = dayInWords(iso, clock);
  return day.charAt(0).toUpperCase() + day.slice(1);
}

export function isLate(iso: string | null, clock: Clock): boolean {
  return iso !== null && new Date(iso) < clock.now;
}

export function money(minor: number, currency: string): string {
  return new Intl.NumberFormat("en-GB", { style: "currency", currency }).format(minor / 100);
}

export function count(n: number, one: string, many = `${one}s`): string {
  return `${n} ${n === 1 ? one : many}`;
}

/** At most three decimals, no trailing zeros. */
export function numeral(value: number): string {
  const text = (Math.round(value * 1000) / 1000).toString();
  return text.replace("-", "−");
}

const SERVICES: Record<string, string> = {
  safety: "Safety check",
  standard: "Standard service",
  full: "Full strip-down",
};

export function serviceInWords(service: string): string {
  return SERVICES[service] ?? service;
}

const STAGES: Record<string, string> = {
  intake: "Take in",
  measure: "Measure",
  strip: "Strip",
  clean: "Clean",
  inspect: "Inspect",
  bearings: "Bearings",
  wheels: "Wheels",
  assemble: "Assemble",
  drive: "Drive",
  brakes: "Brakes",
  shift: "Shifting",
  final: "Final check",
  handover: "Hand over",
};

export function stageInWords(stage: string): string {
  return STAGES[stage] ?? stage;
}

const SOURCE_KINDS: Record<string, string> = {
  standard: "standard",
  handbook: "handbook",
  dataset: "published figures",
  common_practice: "common practice; the mark on the part comes first",
  memory: "from memory; check the mark on the part",
};

/** Where a figure or a way of working comes from, with how far to trust it; nothing said twice. */
export function fromInWords(source?: string | null, kind?: string | null): string {
  const trust = kind ? (SOURCE_KINDS[kind] ?? kind) : "";
  const twice = trust.split(";")[0] ?? "";
  const told = source?.startsWith(twice) ? trust.slice(twice.length).replace(/^; /, "") : trust;
  return [source, told].filter(Boolean).join("; ");
}

export function sentence(text: string): string {
  const trimmed = text.trim();
  return trimmed === "" || /[.!?]$/.test(trimmed) ? trimmed : `${trimmed}.`;
}
