/**
 * What is a step of the route, and what does it ask?
 * Composed by the trade (shopfloor/trade/route.py, trade/compose.ts) and frozen on the job; nothing here
 * is computed.
 */
import type { Reason } from "../trade/route";
import type { Rule, Verdict } from "../trade/verdict";

export type Phase = "found" | "left";

type Choice = { value: string; label: string; verdict?: Verdict | null };

export type Ask = {
  item: string;
  kind: "reading" | "torque" | "choice" | "photo";
  label: string;
  phases: Phase[];
  /** Phases that must be given for the step to be done. */
  required: Phase[];
  unit?: string | null;
  rule?: Rule | null;
  scale?: [number, number] | null;
  /** A wrong value here can hurt the rider. */
  safety?: boolean | null;
  /** Standard uncertainty of the reading, in its unit. */
  uncertainty?: number | null;
  /** Another unit in which it may be given: a length over so many half links. */
  also?: { unit: string; pitches: number } | null;
  choices?: Choice[] | null;
  /** The reading of another step that a good value here clears. */
  clears?: { step: string; item: string } | null;
  mark?: string | null;
  note?: string | null;
  source?: string | null;
  source_kind?: string | null;
};

export type Step = {
  key: string;
  stage: string;
  title: string;
  how: string;
  why: string;
  /** check: by a second person; release: by the desk. */
  kind: "work" | "check" | "release";
  after: Reason[];
  /** Only on added steps: what must come after it. */
  before?: string[];
  /** Only on added steps: what has to be done once more after it, and why; with items only those. */
  reopens?: (Reason & { items?: string[] })[];
  minutes: { low: number; typical: number; high: number };
  compound?: { key: string; title: string; never: string } | null;
  bath?: string | null;
  safety: boolean;
  cautions?: string[];
  points?: string[];
  /** Of a check: the steps whose doers may not be the checker. */
  checks?: string[];
  source?: string | null;
  source_kind?: string | null;
  asks: Ask[];
};
