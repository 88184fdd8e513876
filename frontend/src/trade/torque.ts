/**
 * What a wrench must be set to, how far it may be off, and when a reading is accepted.
 * See also shopfloor/trade/torque.py.
 */
import { Refusal } from "./refusal";
import { toNewtonMetres } from "./units";

// ISO 6789, adjustable click wrench (type II class A): 6 % up to 10 N·m, 4 % above.
const CLASS_A_BELOW = 0.06;
const CLASS_A_ABOVE = 0.04;
const CLASS_A_EDGE_NM = 10;
// Test points lie at 20, 60 and 100 % of the scale: below the first nothing is known.
const LOWEST_IS_ONE_OF = 5;
// ISO 6789 unless the user has another rule; from memory of the standard.
const CALIBRATION_MONTHS = 12;
const CALIBRATION_CYCLES = 5000;

export type Lever = {
  /** Middle of the grip to the drive. */
  wrenchLength: number;
  /** Drive to fastener, same unit; negative when it points back at the grip. */
  extension: number;
  angleDeg?: number;
};

export function convertTorque(value: number, unit: string, to: string): number {
  return toNewtonMetres(value, unit) / toNewtonMetres(1, to);
}

/** In the unit of what is wanted. Throws Refusal. Source: lever arms. */
export function wrenchSetting(wanted: number, lever: Lever): number {
  return wanted / leverage(lever);
}

/** What reaches the fastener at a setting. Throws Refusal. */
export function torqueAtFastener(setting: number, lever: Lever): number {
  return setting * leverage(lever);
}

function leverage({ wrenchLength, extension, angleDeg = 0 }: Lever): number {
  const reach = wrenchLength + extension * Math.cos((angleDeg * Math.PI) / 180);
  if (wrenchLength <= 0 || reach <= 0) throw new Refusal("reaches-past-the-grip");
  return reach / wrenchLength;
}

/** How far a good click wrench may be off, in N·m. Source: ISO 6789. */
export function permissibleDeviation(settingNm: number): number {
  return settingNm * (settingNm <= CLASS_A_EDGE_NM ? CLASS_A_BELOW : CLASS_A_ABOVE);
}

/** The lowest mark of the scale counts; a fifth of the highest where none is known. */
export function isInRange(neededNm: number, maxNm: number, minNm?: number | null): boolean {
  return (minNm ?? maxNm / LOWEST_IS_ONE_OF) <= neededNm && neededNm <= maxNm;
}

/** Dates as 2026-03-31; a drop, overload or repair ends it at once. Source: ISO 6789, whichever comes first (memory). */
export function calibrationState(
  lastCalibratedOn: string,
  on: string,
  cyclesSince = 0,
  dropped = false,
): "current" | "overdue" {
  const late = on > monthsLater(lastCalibratedOn, CALIBRATION_MONTHS);
  return dropped || late || cyclesSince > CALIBRATION_CYCLES ? "overdue" : "current";
}

function monthsLater(day: string, months: number): string {
  const [year = 0, month = 0, date = 0] = day.split("-").map(Number);
  const last = new Date(Date.UTC(year, month + months, 0)).getUTCDate();
  return new Date(Date.UTC(year, month - 1 + months, Math.min(date, last)))
    .toISOString()
    .slice(0, 10);
}

/** The tolerance less the guard at either end. Throws Refusal. Source: ISO 14253-1. */
export function acceptanceLimits(
  lower: number,
  upper: number,
  standardUncertainty: number,
  guardFactor = 2,
): readonly [number, number] {
  const guard = guardFactor * standardUncertainty;
  if (lower + guard > upper - guard) throw new Refusal("tool-too-coarse");
  return [lower + guard, upper - guard];
}

/** That the true value lies between; a limit may be missing. Source: JCGM 106, normal model. */
export function conformanceProbability(
  reading: number,
  standardUncertainty: number,
  lower: number | null,
  upper: number | null,
): number {
  if (standardUncertainty <= 0) throw new Refusal("no-uncertainty");
  const share = (limit: number) => normalShare((limit - reading) / standardUncertainty);
  return (upper === null ? 1 : share(upper)) - (lower === null ? 0 : share(lower));
}

/** The lower of the marks on two clamped parts wins, never the average. Throws Refusal. */
export function limitOfClampedParts(limitsNm: readonly number[]): number {
  if (limitsNm.length === 0) throw new Refusal("no-mark");
  return Math.min(...limitsNm);
}

/** The normal distribution. Source: Abramowitz and Stegun 26.2.11, a series without minus signs. */
function normalShare(z: number): number {
  if (Math.abs(z) > 8) return z > 0 ? 1 : 0;
  let term = z;
  let total = z;
  for (let n = 3; Math.abs(term) > Math.abs(total) * 1e-17 && n < 500; n += 2) {
    term *= (z * z) / n;
    total += term;
  }
  return 0.5 + (total * Math.exp((-z * z) / 2)) / Math.sqrt(2 * Math.PI);
}
