/* Two entries for one place: both shown with who and when; whoever looks takes one. */
import { say, word } from "../words/bench";
import { actionAttributes } from "./forms";
import { Glyph } from "./glyph";
import { type JobView, nameOf, type StepView } from "./job-model";
import { jobPath } from "./paths";
import { said } from "./reading";

type Props = { job: JobView; view: StepView; place: string; clockTime: (iso: string) => string };

function labelOf(view: StepView, place: string): string {
  const ask = view.asks.find((each) => each.place === place);
  if (!ask) return say("conflict.this-step");
  return say("conflict.ask", { ask: ask.ask.label, phase: word("phase", ask.phase) });
}

export function ConflictNotice({ job, view, place, clockTime }: Props) {
  const heads = job.state.places[place] ?? [];
  const ask = view.asks.find((each) => each.place === place)?.ask;
  const seen = heads.map((head) => head.id).join(",");
  return (
    <div class="notice" data-conflict={place}>
      <h3>
        <Glyph name="conflict" /> {say("conflict.title", { what: labelOf(view, place) })}
      </h3>
      <p>{say("conflict.how")}</p>
      <ul class="takes">
        {heads.map((head) => (
          <li class="take">
            <span>
              <strong>{said(head, ask)}</strong>{" "}
              <span class="soft">
                {say("job.written", { name: nameOf(job, head.by), when: clockTime(head.at) })}
              </span>
            </span>
            <button
              type="button"
              class="button"
              {...actionAttributes(`${jobPath(job.header.id)}/settle`, `#step-${view.step.key}`, {
                step: view.step.key,
                take: head.id,
                seen,
              })}
            >
              {say("conflict.take")}
            </button>
          </li>
        ))}
      </ul>
    </div>
  );
}
