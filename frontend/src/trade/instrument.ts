/**
 * What a wrench, gauge or ruler can be trusted with. How long and how often is told by the server.
 * See also shopfloor/workshop/instruments.py.
 */
import { convertTorque, isInRange } from "./torque";
import { isTorqueUnit } from "./units";

export type Tool = {
  unit: string;
  /** The scale, in its unit; null or missing where nobody said. */
  range_min?: number | null;
  range_max?: number | null;
  /** The largest error, in % of the reading. */
  class_pct: number | null;
  /** The smallest step, in its unit. */
  resolution?: number | null;
  /** The last day it may be trusted, as 2026-03-31. */
  due_on: string | null;
  /** Used more often than it may be between two calibrations. */
  worn_out?: boolean;
};

export type Doubt = "overdue" | "worn-out" | "out-of-reach";

/** Why it cannot say that a value is right, in an order of what a person can do least about at the stand. */
export function doubtOf(tool: Tool, value: number, unit: string, today: string): Doubt | undefined {
  if (isOverdue(tool, today)) return tool.worn_out ? "worn-out" : "overdue";
  return reaches(tool, value, unit) ? undefined : "out-of-reach";
}

export function isOverdue({ worn_out, due_on }: Tool, today: string): boolean {
  return worn_out === true || (due_on !== null && due_on < today);
}

/** Whether the value lies on its scale; where the scale or the way between the units is not known, it may. */
export function reaches(tool: Tool, value: number, unit: string): boolean {
  const { range_min: low, range_max: high } = tool;
  const given = factorBetween(unit, tool.unit);
  if (high == null || given === undefined) return true;
  // Of a wrench the lowest part of the scale says nothing; a gauge reads from nothing on.
  return isInRange(value * given, high, isTorqueUnit(unit) ? low : (low ?? 0));
}

/**
 * Standard uncertainty of a value that the instrument alone brings, in the value's unit; undefined where
 * nothing is known of it. Class and smallest step are each taken as evenly spread (GUM, JCGM 100,
 * 4.3.7) and added by their squares (5.1.2).
 */
export function uncertaintyOf(tool: Tool, value: number, unit: string): number | undefined {
  const perUnit = factorBetween(tool.unit, unit);
  if (perUnit === undefined || (tool.class_pct === null && tool.resolution == null))
    return undefined;
  const largestError = (Math.abs(value) * (tool.class_pct ?? 0)) / 100;
  const step = (tool.resolution ?? 0) * perUnit;
  return Math.hypot(largestError / Math.sqrt(3), step / Math.sqrt(12));
}

/** What one unit is in the other; undefined where they measure different things. */
export function factorBetween(from: string, to: string): number | undefined {
  if (from === to) return 1;
  return isTorqueUnit(from) && isTorqueUnit(to) ? convertTorque(1, from, to) : undefined;
}
