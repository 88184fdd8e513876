/**
 * What does a job's state look like once its entries are folded?
 * The same object in Python (shopfloor/journal/state.py), in TypeScript and in the case files.
 */
import type { Step } from "./route";
import type { JsonObject } from "./values";

export type PlaceName =
  | "booked"
  | "on the stand"
  | "asking"
  | "parts"
  | "ready"
  | "collected"
  | "cancelled";

export type NoteBody = { text?: string; step?: string | null; redacted?: true };
export type PhotoBody = {
  sha256?: string;
  mime?: string;
  width?: number;
  height?: number;
  bytes?: number;
  step?: string | null;
  item?: string | null;
  phase: "before" | "after" | "detail";
  caption?: string | null;
  redacted?: true;
};
type Part = { name: string; price_minor?: number | null; in_stock?: boolean | null };
export type FindingBody = {
  title?: string;
  reason?: string;
  step?: string | null;
  item?: string | null;
  task?: string | null;
  minutes: number;
  parts?: Part[];
  safety: boolean;
  redacted?: true;
};
export type OpenedBody = {
  number: string;
  service: string;
  traits: JsonObject;
  says?: string | null;
  go_ahead_minor?: number | null;
  currency?: string | null;
  catalogue?: unknown;
  redacted?: true;
};
export type ReleasedBody = {
  mode: "safe" | "not-to-ride";
  reason?: string | null;
  redacted?: true;
};

/** A live entry of a list. After a redaction the words and pictures of its body are missing. */
export type Row<Body> = { id: string; by: string; at: string; body: Body };

/** A live entry of a place; two that differ are a conflict. */
export type Head = { id: string; by: string; at: string; kind: string; body: JsonObject };

/** Work that was agreed later, with the steps it brings into the route. */
export type Added = { id: string; finding: string; title: string; steps: Step[] };

/** Somebody has hands on the bike since `at`. */
export type OpenHands = { id: string; by: string; at: string };

export type Decision = "yes" | "no" | "withdrawn";

export type JobState = {
  place: PlaceName;
  opened: OpenedBody | null;
  places: Record<string, Head[]>;
  conflicts: string[];
  notes: Row<NoteBody>[];
  photos: Row<PhotoBody>[];
  findings: Row<FindingBody>[];
  added: Added[];
  answers: Record<string, Decision>;
  asking: string[];
  parts: string[];
  hands: OpenHands[];
  ready_at: string | null;
  released: ReleasedBody | null;
  collected: boolean;
  cancelled: boolean;
};
