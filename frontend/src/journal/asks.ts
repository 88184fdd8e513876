/**
 * What did a step ask, what was answered, and what does the answer mean?
 * See also shopfloor/journal/asks.py.
 */
import type { Verdict } from "../trade/verdict";
import { type Judged, judgeHead, noAnswer, worst } from "./judging";
import { askPlace } from "./places";
import type { Ask, Phase, Step } from "./route";
import type { Head, JobState } from "./state";

/** One recorded value with what it means. */
type JudgedHead = Head & { verdict: Verdict | ""; why: string };

/**
 * One thing asked for in one phase. `settled` when it has one value that answers it; the verdict is
 * empty where two values differ.
 */
export type AskProgress = {
  item: string;
  phase: Phase;
  place: string;
  required: boolean;
  settled: boolean;
  heads: JudgedHead[];
  verdict: Verdict | "";
  why: string;
};

/** Every ask of a step in each of its phases. */
export function listAsks(step: Step, state: JobState): AskProgress[] {
  return (step.asks ?? []).flatMap((ask) =>
    ask.phases.map((phase) => answerOf(step, ask, phase, state)),
  );
}

function answerOf(step: Step, ask: Ask, phase: Phase, state: JobState): AskProgress {
  const place = askPlace(step.key, ask.item, phase);
  const photo = ask.kind === "photo";
  const heads = photo ? photosOf(step.key, ask.item, state) : (state.places[place] ?? []);
  const judged = heads.map((head) => (photo ? taken() : judgeHead(ask, phase, head)));
  const agreed = heads.length > 0 && (photo || !state.conflicts.includes(place));
  const told = agreed ? worst(judged) : noAnswer("");
  return {
    item: ask.item,
    phase,
    place,
    required: ask.required.includes(phase),
    settled: agreed && judged.every((one) => one.answers),
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
