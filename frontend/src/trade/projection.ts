/**
 * When a chain will reach its limit, from readings taken since it was fitted; or that nobody can
 * say. Least squares and Fieller's theorem. See also shopfloor/trade/projection.py.
 */
import { Refusal } from "./refusal";
import { tQuantile } from "./student";

const FEWEST_READINGS = 3;

/** Wear for each unit of x, and the x at which the limit is crossed, with its interval. */
export type Projection = { slope: number; crossing: number; low: number; high: number };

export type Readings = {
  /** Kilometres or days since the chain was fitted, one for each reading. */
  x: readonly number[];
  elongationPct: readonly number[];
  thresholdPct: number;
  /** Of the interval, between 0 and 1. */
  confidence?: number;
};

/** Throws Refusal where the readings are too few, too noisy or do not rise. */
export function projectWear({
  x,
  elongationPct: y,
  thresholdPct,
  confidence = 0.95,
}: Readings): Projection {
  const { slope, meanX, meanY, spreadX, residual } = lineThrough(x, y);
  if (slope <= 0) throw new Refusal("does-not-rise");
  const t = tQuantile((1 + confidence) / 2, x.length - 2);
  const g = ((t * residual) / slope) ** 2 / spreadX;
  if (g >= 1) throw new Refusal("scatters-too-much");
  const away = (thresholdPct - meanY) / slope;
  const half =
    ((t * residual) / (slope * (1 - g))) * Math.sqrt((1 - g) / x.length + away ** 2 / spreadX);
  const middle = meanX + away / (1 - g);
  return { slope, crossing: meanX + away, low: middle - half, high: middle + half };
}

type Line = { slope: number; meanX: number; meanY: number; spreadX: number; residual: number };

function lineThrough(x: readonly number[], y: readonly number[]): Line {
  if (x.length !== y.length) throw new Refusal("one-reading-for-each");
  if (x.length < FEWEST_READINGS) throw new Refusal("too-few-readings");
  const pairs = x.map((a, n) => [a, y[n] ?? 0] as const);
  const meanX = sum(x) / x.length;
  const meanY = sum(y) / x.length;
  const spreadX = sum(pairs.map(([a]) => (a - meanX) ** 2));
  if (spreadX === 0) throw new Refusal("same-distance");
  const slope = sum(pairs.map(([a, b]) => (a - meanX) * (b - meanY))) / spreadX;
  const squares = sum(pairs.map(([a, b]) => (b - meanY - slope * (a - meanX)) ** 2));
  return { slope, meanX, meanY, spreadX, residual: Math.sqrt(squares / (x.length - 2)) };
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
