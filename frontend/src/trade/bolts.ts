/**
 * What a bolt can bear, and how hard a torque pulls it; thin or carbon parts are often weaker.
 * See also shopfloor/trade/bolts.py.
 */
import { Refusal } from "./refusal";

// The thread's core is smaller than its outside by this many pitches (ISO 724 and ISO 898-1).
const CORE = 0.938194;
const REUSED_SHARE = 0.75;
const THREAD = /^m\s*(\d+(?:[.,]\d+)?)(?:\s*[x×*-]\s*(\d+(?:[.,]\d+)?))?$/i;

/** The rows of tables/threads.json and tables/bolt_classes.json. */
export type ThreadRow = {
  diameter_mm: number;
  pitch_mm: number;
  proof_loads_n: Readonly<Record<string, number>>;
};
export type ClassRow = {
  class: string;
  proof_mpa: number;
  up_to_mm: number;
  proof_mpa_above: number;
};
type Thread = { diameter: number; pitch: number };

/** M6, M5x0.8, M8x1; without a pitch the coarse one counts. Throws Refusal. */
export function readThread(rows: readonly ThreadRow[], thread: string): Thread {
  const found = THREAD.exec(thread.trim());
  const [diameter = 0, told = 0] = (found ?? []).slice(1).map(toNumber);
  const pitch = told || (coarse(rows, diameter)?.pitch_mm ?? 0);
  if (pitch <= 0 || pitch >= diameter / 2) throw new Refusal("unknown-thread");
  return { diameter, pitch };
}

/** In mm². Throws Refusal. Source: ISO 898-1. */
export function stressArea(rows: readonly ThreadRow[], thread: string): number {
  const { diameter, pitch } = readThread(rows, thread);
  return (Math.PI / 4) * (diameter - CORE * pitch) ** 2;
}

/** In N: as listed for coarse threads, others by area and stress. Throws Refusal. ISO 898-1. */
export function proofLoad(
  rows: readonly ThreadRow[],
  classes: readonly ClassRow[],
  thread: string,
  strengthClass: string,
): number {
  const strength = classes.find((row) => row.class === strengthClass.trim());
  if (strength === undefined) throw new Refusal("unknown-class");
  const { diameter, pitch } = readThread(rows, thread);
  const row = coarse(rows, diameter);
  const listed = row?.pitch_mm === pitch ? row.proof_loads_n[strength.class] : undefined;
  const stress = diameter <= strength.up_to_mm ? strength.proof_mpa : strength.proof_mpa_above;
  return listed ?? stressArea(rows, thread) * stress;
}

/** In N·m. Source: T = K F d, Shigley's Mechanical Engineering Design. */
export function torqueForPreload(k: number, preloadN: number, diameterMm: number): number {
  return (k * preloadN * diameterMm) / 1000;
}

/** The share of its proof load that a torque pulls a bolt to. */
export function preloadToProof(
  torqueNm: number,
  k: number,
  diameterMm: number,
  proofN: number,
): number {
  return (torqueNm * 1000) / (k * diameterMm) / proofN;
}

/** What to pull a bolt to that is opened again: three quarters of its proof load, Shigley. */
export function tightening(
  tables: { threads: readonly ThreadRow[]; classes: readonly ClassRow[] },
  thread: string,
  strengthClass: string,
  k: number,
): { preloadN: number; torqueNm: number } {
  const preloadN = REUSED_SHARE * proofLoad(tables.threads, tables.classes, thread, strengthClass);
  const { diameter } = readThread(tables.threads, thread);
  return { preloadN, torqueNm: torqueForPreload(k, preloadN, diameter) };
}

/** The torque that pulls as hard with another lubricant as the told one did with its own. */
export function torqueWithLubricant(torqueNm: number, toldK: number, k: number): number {
  return (torqueNm * k) / toldK;
}

function coarse(rows: readonly ThreadRow[], diameter: number): ThreadRow | undefined {
  return rows.find((row) => row.diameter_mm === diameter);
}

function toNumber(text: string | undefined): number {
  return text === undefined ? 0 : Number(text.replace(",", "."));
}
