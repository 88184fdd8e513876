/** How much longer a chain is than when new, from a ruler. See also shopfloor/trade/chain.py. */

/** Half-inch pitch of bicycle chains, ISO 9633. */
export const PITCH_MM = 12.7;

/** In percent of its new length; pin centre to pin centre over so many half links. */
export function elongationPercent(lengthMm: number, pitches: number): number {
  return (lengthMm / (pitches * PITCH_MM) - 1) * 100;
}
