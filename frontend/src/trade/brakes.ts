/**
 * Whether rotor, pad and rim wall may stay, and which fluids must never meet.
 * See also shopfloor/trade/braking.py and fluids.py.
 */
import { Refusal } from "./refusal";
import { type Judgement, judge, type Rule } from "./verdict";

/** A row of limits of tables/wear.json. */
export type WearRow = { key: string; rule?: Rule | null };
/** A row of tables/brake_fluids.json. */
export type FluidRow = { key: string; family: string; grade: number | null };

const PAD_ROWS = { disc: "disc-pad", rim: "rim-block", drum: "drum-lining" } as const;
const SAME: Readonly<Record<string, string>> = { DOT: "DOT3", GLYCOL: "DOT3", SILICONE: "DOT5" };

/** The stamped minimum comes before the table. */
export function judgeRotor(
  rows: readonly WearRow[],
  thicknessMm: number,
  minimumMm: number | null = null,
  uncertainty = 0,
): Judgement {
  const rule = ruleOf(rows, "rotor");
  const stamped = rule?.type === "minimum" && minimumMm !== null;
  const used = stamped ? { ...rule, renew: minimumMm } : rule;
  return judge(used, thicknessMm, { uncertainty, safety: true, unit: "mm" });
}

export function judgePad(
  rows: readonly WearRow[],
  frictionMm: number,
  kind: keyof typeof PAD_ROWS = "disc",
  uncertainty = 0,
): Judgement {
  return judge(ruleOf(rows, PAD_ROWS[kind]), frictionMm, { uncertainty, unit: "mm" });
}

export function judgeRimWall(rows: readonly WearRow[], wallMm: number, uncertainty = 0): Judgement {
  return judge(ruleOf(rows, "rim-wall"), wallMm, { uncertainty, unit: "mm" });
}

/** The same family, and a boiling point not below the marked one; silicone never. */
export function isFluidAllowed(rows: readonly FluidRow[], system: string, bottle: string): boolean {
  const marked = fluid(rows, system);
  const poured = fluid(rows, bottle);
  if (marked.family !== poured.family || marked.family === "silicone") return false;
  return marked.grade === null || (poured.grade ?? 0) >= marked.grade;
}

function ruleOf(rows: readonly WearRow[], key: string): Rule | null {
  return rows.find((row) => row.key === key)?.rule ?? null;
}

function fluid(rows: readonly FluidRow[], name: string): FluidRow {
  const plain = name
    .toUpperCase()
    .replace(/[\s_-]/g, "")
    .replace(/OIL$/, "")
    .replace(/FLUID$/, "");
  const known = SAME[plain] ?? plain;
  const row = rows.find(({ key }) => key.toUpperCase() === known);
  if (row === undefined) throw new Refusal("unknown-fluid");
  return row;
}
