/**
 * What a phone must have to compose a route: the fields of a bike, what is usual, and the steps.
 * Made by the server and kept on the phone as it came; see also shopfloor/trade/catalogue.py.
 */
import type { Reason } from "./route";

export type TraitValue = string | number | boolean;
export type Traits = Readonly<Record<string, TraitValue | null>>;

/** Alternatives, each some traits with their allowed values; null means every bike. */
export type When = readonly Readonly<Record<string, readonly TraitValue[]>>[] | null;

/** One trait as a form may ask for it; an optional one stays unknown when not given. */
export type Field = {
  key: string;
  label: string;
  options: readonly { value: TraitValue; label: string }[];
  optional: boolean;
  /** Another trait and its value, without which this one means nothing. */
  only_with: { key: string; value: TraitValue } | null;
};

export type Minutes = { low: number; typical: number; high: number };

/** An ask of a step, filled in; composing only chooses. */
export type FilledAsk = { item: string; [name: string]: unknown };

type Text = { when: When; text: string };

/** What is told at the stand, as a step or a variant of it gives it. */
type Told = {
  title: string;
  how: string;
  why: string;
  bath: string | null;
  checks: readonly string[];
  points: readonly Text[];
  cautions: readonly Text[];
  compound: { key: string; title: string; never: string } | null;
};

export type Fastener = {
  item: string;
  kinds: readonly { when: When; ask: FilledAsk; carbon: string; words: string }[];
};

export type StepRow = Told & {
  key: string;
  stage: string;
  /** The lightest service that has it. */
  tier: string;
  when: When;
  after: readonly Reason[];
  kind: "work" | "check" | "release";
  minutes: Minutes;
  safety: boolean;
  source: string;
  source_kind: string;
  asks: readonly { when: When; ask: FilledAsk }[];
  torques: readonly Fastener[];
  variants: readonly (Partial<Told> & { when: When })[];
};

export type Catalogue = {
  version: string;
  fields: readonly Field[];
  /** By kind: what is taken for granted where nothing is said. */
  usual: Readonly<Record<string, Traits>>;
  /** By kind: what a form may offer first. */
  offered: Readonly<Record<string, Traits>>;
  /** From the lightest to the heaviest. */
  services: readonly { key: string; title: string }[];
  steps: readonly StepRow[];
  by_kind: string;
  /** The added work, with the bikes it is for. */
  tasks: readonly { key: string; when: When }[];
};
