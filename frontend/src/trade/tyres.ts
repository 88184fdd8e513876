/**
 * Which rim a tyre belongs on: the bead seat decides, a name in inches never does.
 * See also shopfloor/trade/tyre_sizes.py.
 */
import { Refusal } from "./refusal";

const MARK = /(?<![\d.,/])(\d{2,3}(?:[.,]\d)?)\s*[-–]\s*(\d{3})(?!\d)/;
const PRESSURE = /(\d+(?:[.,]\d+)?)\s*(kpa|bar|psi)\b/gi;
const KILOPASCALS_PER: Readonly<Record<string, number>> = {
  kpa: 1,
  bar: 100,
  psi: (0.45359237 * 9.80665) / 0.0254 ** 2 / 1000,
};
const WIDEST_MM = 130;
const BEAD_SEATS_MM = [100, 800] as const;
const WRITTEN: readonly (readonly [RegExp, string])[] = [
  [/½/g, " 1/2"],
  [/¼/g, " 1/4"],
  [/¾/g, " 3/4"],
  [/⅛/g, " 1/8"],
  [/⅜/g, " 3/8"],
  [/⅝/g, " 5/8"],
  [/[×*]/g, "x"],
  [/,/g, "."],
  [/"|″|''|\binch(?:es)?\b|\bin\b|\bzoll\b/g, " "],
  [/(\d)-(\d)/g, "$1 $2"],
  [/\s+/g, " "],
  [/\s*x\s*/g, "x"],
];

export type TyreSize = { widthMm: number; beadSeatMm: number; pressureKpa?: number };

/** The rows of tables/bead_seats.json and tables/ambiguous_sizes.json. */
export type SeatRow = {
  bead_seat_mm: number;
  names: readonly string[];
  also: readonly { name: string }[];
  decimal_of: readonly string[];
};
export type AmbiguousRow = { key: string; bead_seats_mm: readonly number[] };
export type SizeTables = { seats: readonly SeatRow[]; ambiguous: readonly AmbiguousRow[] };

/** The two numbers of an ISO mark, the highest pressure beside it. Throws Refusal. ISO 5775-1. */
export function readMark(marking: string): TyreSize {
  const found = MARK.exec(marking);
  const [widthMm = 0, beadSeatMm = 0] = (found ?? []).slice(1).map(toNumber);
  const [low, high] = BEAD_SEATS_MM;
  if (found === null || widthMm > WIDEST_MM || beadSeatMm < low || beadSeatMm > high) {
    throw new Refusal("unknown-size");
  }
  const pressures = [...marking.matchAll(PRESSURE)].map(
    ([, value = "", unit = ""]) => toNumber(value) * (KILOPASCALS_PER[unit.toLowerCase()] ?? 0),
  );
  const size = { widthMm, beadSeatMm };
  return pressures.length ? { ...size, pressureKpa: Math.max(...pressures) } : size;
}

/** Without load, the tyre taken as high as it is wide; in mm. */
export function overallDiameterMm(marking: string): number {
  const { widthMm, beadSeatMm } = readMark(marking);
  return beadSeatMm + 2 * widthMm;
}

/** Without load, in mm; rolled out under a rider it is 1 to 2 % less. */
export function circumferenceMm(marking: string): number {
  return Math.PI * overallDiameterMm(marking);
}

export function fitsRim(marking: string, rimBeadSeatMm: number): boolean {
  return readMark(marking).beadSeatMm === rimBeadSeatMm;
}

/** Every bead seat in mm that a name may mean, smallest first. Throws Refusal. */
export function beadSeatCandidates(tables: SizeTables, name: string): number[] {
  if (MARK.test(name)) return [readMark(name).beadSeatMm];
  const plain = plainName(name);
  for (const find of [ambiguous, exact, french, decimal, qualified, bare]) {
    const found = find(tables, plain);
    if (found.length) return found.toSorted((a, b) => a - b);
  }
  throw new Refusal("unknown-size");
}

function plainName(name: string): string {
  return WRITTEN.reduce(
    (text, [sign, written]) => text.replace(sign, written),
    name.trim().toLowerCase(),
  ).trim();
}

function ambiguous({ ambiguous: rows }: SizeTables, plain: string): readonly number[] {
  return rows.find((row) => row.key === plain)?.bead_seats_mm ?? [];
}

function exact(tables: SizeTables, plain: string): readonly number[] {
  return seats(tables, (row) => row.names.some((name) => name.toLowerCase() === plain));
}

/** 700x28c and 700c x 28 are 700c whatever the width; today 700 alone means 700C. */
function french(tables: SizeTables, plain: string): readonly number[] {
  const found = /^(\d{3})(?:x\d+(?:\.\d+)?)? ?([abcd])(?:x\d+(?:\.\d+)?)?$/.exec(plain);
  if (found) return exact(tables, `${found[1]}${found[2]}`);
  const without = /^(\d{3})x\d+(?:\.\d+)?$/.exec(plain)?.[1];
  if (without === undefined) return [];
  return without === "700" ? exact(tables, "700c") : ambiguous(tables, without);
}

function decimal(tables: SizeTables, plain: string): readonly number[] {
  const inches = /^(\d+(?:\.\d+)?)x\d+(?:\.\d+)?$/.exec(plain)?.[1];
  return seats(tables, (row) => inches !== undefined && row.decimal_of.includes(inches));
}

function qualified(tables: SizeTables, plain: string): readonly number[] {
  return seats(tables, (row) => row.also.some(({ name }) => name === plain));
}

/** Only a diameter: every size that begins with it. */
function bare(tables: SizeTables, plain: string): readonly number[] {
  if (!/^\d+(?:\.\d+)?$/.test(plain)) return [];
  const begins = (name: string) => name.split("x")[0] === plain;
  return seats(
    tables,
    (row) =>
      row.decimal_of.includes(plain) ||
      row.names.some(begins) ||
      row.also.some(({ name }) => begins(name)),
  );
}

function seats({ seats: rows }: SizeTables, wanted: (row: SeatRow) => boolean): readonly number[] {
  return rows.filter(wanted).map((row) => row.bead_seat_mm);
}

function toNumber(text: string): number {
  return Number(text.replace(",", "."));
}
