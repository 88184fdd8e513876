/* How a step is done, what goes on the part and where it must never go, and why the step is here. */
import type { Catalogue } from "../trade/catalogue";
import { say } from "../words/bench";
import { Glyph } from "./glyph";
import type { JobView, StepView } from "./job-model";
import { whyHere } from "./why-here";
import { fromInWords, sentence } from "./words";

export function How({ view }: { view: StepView }) {
  const { step } = view;
  const points = step.points ?? [];
  return (
    <section class="stack tight">
      {step.how ? <p>{step.how}</p> : null}
      {points.length > 0 ? (
        <ul>
          {points.map((point) => (
            <li>{point}</li>
          ))}
        </ul>
      ) : null}
      {step.compound ? (
        <div class="panel stack tight">
          <p class="strong">
            <Glyph name="compound" /> {step.compound.title}
          </p>
          {step.compound.never ? <p>{sentence(step.compound.never)}</p> : null}
        </div>
      ) : null}
      {step.bath ? <p class="panel">{sentence(step.bath)}</p> : null}
    </section>
  );
}

type WhyProps = { job: JobView; view: StepView; catalogue: Catalogue | undefined };

/** Why it is done, why on this bike and why now: read once, so it stands below what is needed each time. */
export function Why({ job, view, catalogue }: WhyProps) {
  const { step } = view;
  const after = step.after.flatMap(({ key, because }) => {
    const earlier = job.steps.find((each) => each.step.key === key);
    return earlier ? [{ title: earlier.step.title, because }] : [];
  });
  return (
    <section class="stack tight" aria-labelledby="why">
      <h2 id="why">{say("why-here.title")}</h2>
      {step.why ? <p>{sentence(step.why)}</p> : null}
      {whyHere(job, view, catalogue).map((line) => (
        <p>{sentence(line)}</p>
      ))}
      {after.map(({ title, because }) => (
        <p>{sentence(say("step.because", { step: title, because }))}</p>
      ))}
      {step.source ? (
        <p class="soft small">{sentence(fromInWords(step.source, step.source_kind))}</p>
      ) : null}
    </section>
  );
}
