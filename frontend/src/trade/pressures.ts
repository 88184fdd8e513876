/**
 * How hard a tyre may and should be pumped, and whether its width suits the rim.
 * See also shopfloor/trade/tyre_pressures.py.
 */
import { Refusal } from "./refusal";

const POUND_KG = 0.45359237;
const PSI_PER_BAR = 100 / ((POUND_KG * 9.80665) / 0.0254 ** 2 / 1000);
// Limits as in tables/tyre_limits.json, which names their sources.
const HOOKLESS_MAX_BAR = 5;
const HOOKLESS_MIN_MM = 28;
const HOOKLESS_WIDE = { fromRimMm: 25, minTyreMm: 29 };
const RATIO = { min: 1.4, max: 2.4 };
const MINIMUM_KPA = { narrow: 300, road: 200, "off-road": 150 };
const NARROW_MM = 25;
const LOADS_KG = [20 * POUND_KG, 220 * POUND_KG] as const;
const WIDTHS_MM = [18, 40] as const;

/** The lowest of the marks, in bar; without hooks 5 bar at most. Throws Refusal. */
export function pressureLimitBar(
  tyreMaxBar: number | null,
  rimMaxBar: number | null,
  hookless = false,
): number {
  const marks = [tyreMaxBar, rimMaxBar, hookless ? HOOKLESS_MAX_BAR : null];
  const limits = marks.filter((limit) => limit !== null);
  if (limits.length === 0) throw new Refusal("no-mark");
  return Math.min(...limits);
}

/** Bar at which a tyre sinks in by about 15 %. Throws Refusal outside of the chart. */
export function pressureForLoadBar(loadKg: number, widthMm: number): number {
  if (!between(LOADS_KG, loadKg) || !between(WIDTHS_MM, widthMm)) {
    throw new Refusal("outside-the-chart");
  }
  return ((600 * (loadKg / POUND_KG)) / widthMm ** 2 + 0.75 * widthMm - 25) / PSI_PER_BAR;
}

/** In kPa. Source: ISO 5775-1, an older edition. */
export function minimumPressureKpa(widthMm: number, use: "road" | "off-road" = "road"): number {
  return use === "road" && widthMm <= NARROW_MM ? MINIMUM_KPA.narrow : MINIMUM_KPA[use];
}

/** Common practice; on a rim without hooks the least widths as reported of the ETRTO as well. */
export function widthSuitsRim(tyreMm: number, rimInternalMm: number, hookless = false): boolean {
  const { fromRimMm, minTyreMm } = HOOKLESS_WIDE;
  const least = rimInternalMm >= fromRimMm ? minTyreMm : HOOKLESS_MIN_MM;
  if (hookless && tyreMm < least) return false;
  return between([RATIO.min, RATIO.max], tyreMm / rimInternalMm);
}

function between([low, high]: readonly [number, number], value: number): boolean {
  return low <= value && value <= high;
}
