/**
 * What did a step ask, what was answered, and what does the answer mean?
 * See also shopfloor/journal/asks.py.
 */
import type { Verdict } from "../trade/verdict";
import { isFresh, type Reopener, undoing } from "./again";
import { type Judged, judgeHead, noAnswer, worst } from "./judging";
import { askPlace } from "./places";
import type { Ask, Phase, Step } from "./route";
import type { Head, JobState } from "./state";

/** One recorded value with what it means. */
type JudgedHead = Head & { verdict: Verdict | ""; why: string };

/**
 * One thing asked for in one phase. `settled` when it has one value that answers it; the verdict is
 * empty where two values differ. `stale` when what was left is told of before work that opened the
 * step again.
 */
export type AskProgress = {
  item: string;
  phase: Phase;
  place: string;
  required: boolean;
  settled: boolean;
  stale: boolean;
  heads: JudgedHead[];
  verdict: Verdict | "";
  why: string;
};

/** Every ask of a step in each of its phases. */
export function listAsks(
  step: Step,
  state: JobState,
  reopeners: readonly Reopener[] = [],
): AskProgress[] {
  return (step.asks ?? []).flatMap((ask) =>
    ask.phases.map((phase) => answerOf(step, ask, phase, state, reopeners)),
  );
}

function answerOf(
  step: Step,
  ask: Ask,
  phase: Phase,
  state: JobState,
  reopeners: readonly Reopener[],
): AskProgress {
  const place = askPlace(step.key, ask.item, phase);
  const photo = ask.kind === "photo";
  const heads = photo ? photosOf(step.key, ask.item, state) : (state.places[place] ?? []);
  const judged = heads.map((head) => (photo ? taken() : judgeHead(ask, phase, head)));
  const agreed = heads.length > 0 && (photo || !state.conflicts.includes(place));
  // How a part was found stays true, and a photo shows what it shows.
  const undone = phase === "left" && !photo ? undoing(reopeners, ask.item) : [];
  const stale = heads.length > 0 && !isFresh(heads, undone);
  const told = agreed ? worst(judged) : noAnswer("");
  return {
    item: ask.item,
    phase,
    place,
    required: ask.required.includes(phase),
    settled: agreed && !stale && judged.every((one) => one.answers),
    stale,
    heads: heads.map((head, at) => {
      const { verdict, why } = judged[at] ?? noAnswer("");
      return { ...head, verdict, why };
    }),
    verdict: told.verdict,
    why: told.why,
  };
}

function taken(): Judged {
  return { verdict: "", why: "", answers: true };
}

/** Any photo of the item will do, whatever its phase. */
function photosOf(step: string, item: string, state: JobState): Head[] {
  return state.photos
    .filter((photo) => photo.body.step === step && photo.body.item === item)
    .map((photo) => ({ ...photo, kind: "photo" }));
}
