/**
 * Is this text an instant with its zone, and when was it?
 * Reads the clock of nobody: texts in, milliseconds out. See also shopfloor/journal/instants.py.
 */

const INSTANT =
  /^([0-9]{4})-([0-9]{2})-([0-9]{2})T([0-9]{2}):([0-9]{2}):([0-9]{2})(?:\.([0-9]{1,9}))?(?:Z|([+-])([0-9]{2}):([0-9]{2}))$/;
// A phone whose battery died starts in 1970; later than this, adding a zone leaves the calendar.
const FIRST_YEAR = 1970;
const LAST_YEAR = 9998;

/**
 * Milliseconds from 1970-01-01 UTC to the instant, cut (not rounded) to the millisecond; null for
 * what is not an instant: no zone, no such day, a leap second, another year.
 * Source: the internet date and time format, RFC 3339 section 5.6, with `T` and `Z` in capitals.
 */
export function instantMs(text: unknown): number | null {
  const match = typeof text === "string" ? INSTANT.exec(text) : null;
  if (match === null) return null;
  const [year = 0, month = 0, day = 0, hour = 0, minute = 0, second = 0] = match
    .slice(1, 7)
    .map(Number);
  const shift = shiftMinutes(match[8], match[9], match[10]);
  if (shift === null || year < FIRST_YEAR || year > LAST_YEAR) return null;
  if (!isDay(year, month, day) || hour > 23 || minute > 59 || second > 59) return null;
  const milliseconds = Number((match[7] ?? "0").slice(0, 3).padEnd(3, "0"));
  return Date.UTC(year, month - 1, day, hour, minute, second, milliseconds) - shift * 60_000;
}

// Date.parse takes 30 February for 2 March.
function isDay(year: number, month: number, day: number): boolean {
  if (month < 1 || month > 12 || day < 1) return false;
  return day <= new Date(Date.UTC(year, month, 0)).getUTCDate();
}

function shiftMinutes(sign?: string, hours?: string, minutes?: string): number | null {
  if (sign === undefined) return 0;
  if (Number(hours) > 23 || Number(minutes) > 59) return null;
  const shift = Number(hours) * 60 + Number(minutes);
  return sign === "-" ? -shift : shift;
}
