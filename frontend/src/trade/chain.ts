/** How worn a chain is, and what that says. See also shopfloor/trade/chain.py and cassette.py. */
import { Refusal } from "./refusal";
import { type Judgement, judge, type Rule } from "./verdict";

/** Half-inch pitch of bicycle chains, ISO 9633. */
export const PITCH_MM = 12.7;

/** A row of the table of limits that is meant for so many sprockets, fewest first. */
export type ChainRow = {
  sprockets: readonly [number, number];
  rule: Rule;
  sprockets_suspect_pct: number;
};

/** In percent of its new length; pin centre to pin centre over so many half links. */
export function elongationPercent(lengthMm: number, pitches: number): number {
  return (lengthMm / (pitches * PITCH_MM) - 1) * 100;
}

/** Percent from what a ruler in inches shows past its mark. */
export function elongationByRuler(excessIn: number, nominalIn = 12): number {
  return (excessIn / nominalIn) * 100;
}

/** Standard uncertainty in points, from that of each end in mm. Source: GUM (JCGM 100). */
export function elongationUncertainty(readingStdMm: number, pitches: number, ends = 2): number {
  if (pitches < 1) throw new Refusal("count-the-links");
  return (100 * Math.sqrt(ends) * readingStdMm) / (pitches * PITCH_MM);
}

/** Points that a gauge adds which spreads two rollers apart; geometry. */
export function gaugeBias(clearanceMm: number, pitches: number): number {
  if (pitches <= 0) throw new Refusal("count-the-links");
  return (100 * clearanceMm) / (pitches * PITCH_MM);
}

/** By the number of sprockets; beyond the table the nearest row counts. */
export function judgeChain(
  rows: readonly ChainRow[],
  elongationPct: number,
  sprockets: number,
  uncertaintyPct = 0,
): Judgement {
  const row = chainRow(rows, sprockets);
  return judge(row?.rule ?? null, elongationPct, { uncertainty: uncertaintyPct, unit: "%" });
}

export type Cassette = {
  elongationPct: number;
  skipTest?: "not done" | "holds" | "skips";
  /** This chain counted; null where nobody knows. */
  chains?: number | null;
  sprockets?: number;
};

/** A barely worn chain alone says nothing: it may be new on worn teeth. Common practice. */
export function judgeCassette(
  rows: readonly ChainRow[],
  { elongationPct, skipTest = "not done", chains = null, sprockets = 11 }: Cassette,
): "sound" | "watch" | "renew" | "unknown" {
  if (skipTest === "skips") return "renew";
  if (skipTest === "holds") return "sound";
  const suspect = chainRow(rows, sprockets)?.sprockets_suspect_pct;
  if (suspect !== undefined && elongationPct >= suspect) return "watch";
  return chains === 1 ? "sound" : "unknown";
}

function chainRow(rows: readonly ChainRow[], sprockets: number): ChainRow | undefined {
  return rows.findLast((row) => row.sprockets[0] <= sprockets) ?? rows[0];
}
