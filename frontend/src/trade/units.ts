/** How a torque read in one unit reads in N·m. See also shopfloor/trade/units.py. */

const POUND_FORCE_NEWTONS = 0.45359237 * 9.80665;

const NEWTON_METRES_PER: Record<string, number> = {
  N·m: 1,
  lbf·in: POUND_FORCE_NEWTONS * 0.0254,
  lbf·ft: POUND_FORCE_NEWTONS * 0.3048,
  kgf·cm: 9.80665 * 0.01,
  kgf·m: 9.80665,
};

/** The units a torque reading may be given in, N·m first. */
export const TORQUE_UNITS: readonly string[] = Object.keys(NEWTON_METRES_PER);

function canonical(unit: string): string {
  return unit.trim().replace(/[.*⋅]/g, "·");
}

export function isTorqueUnit(unit: string): boolean {
  return Object.hasOwn(NEWTON_METRES_PER, canonical(unit));
}

/** Throws when the unit is no unit of torque. */
export function toNewtonMetres(value: number, unit: string): number {
  const name = canonical(unit);
  const factor = Object.hasOwn(NEWTON_METRES_PER, name) ? NEWTON_METRES_PER[name] : undefined;
  if (factor === undefined) {
    throw new RangeError(
      `“${unit}” is no unit of torque here; use one of ${TORQUE_UNITS.join(", ")}.`,
    );
  }
  return value * factor;
}
