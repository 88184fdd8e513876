/* When does the bench ask whether hands are still on a bike, and which end does it offer? Pure. */
import { LONG_GAP_MS } from "../journal/hands";
import type { OpeningHours, RunningHands } from "../store/schema";
import { type Clock, localTime } from "./words";

const MINUTE_MS = 60_000;
const DAY_MINUTES = 24 * 60;
const DAYS = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
/** 1 January 1970 was a Thursday. */
const FIRST_DAY = 3;

function minutesIn(text: string): number {
  const [hours = 0, minutes = 0] = text.split(":").map(Number);
  return hours * 60 + minutes;
}

/** When the shop closes on the day of an instant, if it was still open then; in milliseconds. */
export function closingAfter(iso: string, hours: OpeningHours, timezone: string): number | null {
  const at = Date.parse(iso);
  const { day, minute } = localTime(new Date(at), timezone);
  const spans = hours[DAYS[(day + FIRST_DAY) % 7] ?? ""] ?? [];
  const ends = spans.map(([from = "", to = ""]) => minutesIn(to) + (to <= from ? DAY_MINUTES : 0));
  const closing = Math.max(-1, ...ends);
  if (closing <= minute) return null;
  return Math.floor(at / MINUTE_MS) * MINUTE_MS + (closing - minute) * MINUTE_MS;
}

/** Why to ask, and when the hands may have come off. */
export type Doubt = { why: "gap" | "closed"; from: string } | null;

/** The newest that is known of somebody being there. */
function seenAt({ last, still }: RunningHands): string {
  return Date.parse(still) > Date.parse(last) ? still : last;
}

/** What was worked after a long time without an entry does not answer for that time. */
export function doubtOf(hands: RunningHands, clock: Clock, hours: OpeningHours): Doubt {
  const gap = hands.gaps.find(([, to]) => !(Date.parse(hands.still) >= Date.parse(to)));
  if (gap) return { why: "gap", from: gap[0] };
  const seen = seenAt(hands);
  const closing = closingAfter(seen, hours, clock.timezone);
  if (closing !== null && clock.now.getTime() >= closing)
    return { why: "closed", from: hands.last };
  const long = clock.now.getTime() - Date.parse(seen) >= LONG_GAP_MS;
  return long ? { why: "gap", from: hands.last } : null;
}

/** When to look again, in milliseconds. */
export function askAt(hands: RunningHands, clock: Clock, hours: OpeningHours): number {
  const seen = seenAt(hands);
  const closing = closingAfter(seen, hours, clock.timezone) ?? Number.POSITIVE_INFINITY;
  return Math.min(closing, Date.parse(seen) + LONG_GAP_MS);
}

/**
 * The first instant after `since` at which the workshop's clock says “17:40”; null when that has not
 * come yet or is no time.
 */
export function timeAfter(since: string, text: string, clock: Clock): Date | null {
  if (!/^([01]?\d|2[0-3]):[0-5]\d$/.test(text)) return null;
  const start = Date.parse(since);
  const ahead = (at: number) => {
    const { minute } = localTime(new Date(at), clock.timezone);
    return (minutesIn(text) - minute + DAY_MINUTES) % DAY_MINUTES;
  };
  const near = start + ahead(start) * MINUTE_MS;
  // A clock change on the way moves the local time by at most an hour either way.
  const off = ahead(near);
  const exact = near + (off > DAY_MINUTES / 2 ? off - DAY_MINUTES : off) * MINUTE_MS;
  const end = Math.max(start, exact);
  return end <= clock.now.getTime() ? new Date(end) : null;
}
