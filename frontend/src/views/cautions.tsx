/* What can hurt somebody at this step: on its page, in its row when it is next, and where an answer turns out unsafe. */
import { say } from "../words/bench";
import { Glyph } from "./glyph";
import type { StepView } from "./job-model";
import { sentence } from "./words";

export function Cautions({ view }: { view: StepView }) {
  const cautions = view.step.cautions ?? [];
  if (cautions.length === 0) return null;
  return (
    <div class="notice">
      <h2>{say("caution.title")}</h2>
      {cautions.map((caution) => (
        <p>{sentence(caution)}</p>
      ))}
    </div>
  );
}

/** The same in short, in the row of the step that is next. */
export function CareInRow({ view: { step } }: { view: StepView }) {
  return (
    <>
      {(step.cautions ?? []).map((caution) => (
        <p class="care">
          <Glyph name="safety" />
          <span>{sentence(caution)}</span>
        </p>
      ))}
      {step.compound?.never ? (
        <p class="care">
          <Glyph name="compound" />
          <span>{sentence(step.compound.never)}</span>
        </p>
      ) : null}
    </>
  );
}

export function hasCare({ step }: StepView): boolean {
  return (step.cautions ?? []).length > 0 || Boolean(step.compound?.never);
}
