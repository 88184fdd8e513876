/* What can hurt somebody at this step: on its page, and again where an answer turns out unsafe. */
import { say } from "../words/bench";
import type { StepView } from "./job-model";
import { sentence } from "./words";

export function Cautions({ view }: { view: StepView }) {
  const cautions = view.step.cautions ?? [];
  if (cautions.length === 0) return null;
  return (
    <div class="notice">
      <h3>{say("caution.title")}</h3>
      {cautions.map((caution) => (
        <p>{sentence(caution)}</p>
      ))}
    </div>
  );
}
