/* Two entries for one place: each a large button with value, verdict, who and when; whoever looks takes one. */
import type { Head } from "../journal/state";
import { say, word } from "../words/bench";
import { VerdictChip } from "./chip";
import { actionAttributes } from "./forms";
import { Glyph } from "./glyph";
import { type AskView, type JobView, nameOf, type StepView } from "./job-model";
import { askPhasePath, jobPath } from "./paths";
import { said } from "./reading";

type Props = {
  job: JobView;
  view: StepView;
  place: string;
  clockTime: (iso: string) => string;
  /** Under the heading of a stage, or under that of the page. */
  level: "h2" | "h3";
};

/** A tick has no verdict. */
type Judged = Head & { verdict?: AskView["verdict"] };

function labelOf(ask: AskView | undefined): string {
  if (!ask) return say("conflict.this-step");
  return say("conflict.ask", { ask: ask.ask.label, phase: word("phase", ask.phase) });
}

export function ConflictNotice({ job, view, place, clockTime, level: Heading }: Props) {
  const ask = view.asks.find((each) => each.place === place);
  const heads: Judged[] = ask?.heads ?? job.state.places[place] ?? [];
  const values = { step: view.step.key, seen: heads.map((head) => head.id).join(",") };
  const settle = (take: string) =>
    actionAttributes(`${jobPath(job.header.id)}/settle`, `#step-${view.step.key}`, {
      ...values,
      take,
    });
  return (
    <div class="notice stack tight" data-conflict={place}>
      <Heading>
        <Glyph name="conflict" /> {say("conflict.title", { what: labelOf(ask) })}
      </Heading>
      <p>{say("conflict.how")}</p>
      <ul class="takes">
        {heads.map((head) => (
          <li>
            <button type="button" class="take" {...settle(head.id)}>
              <span class="take-value">{said(head, ask?.ask)}</span>
              {head.verdict ? <VerdictChip verdict={head.verdict} /> : null}
              <span class="soft">
                {say("job.written", { name: nameOf(job, head.by), when: clockTime(head.at) })}
              </span>
              <span class="take-word">{say("conflict.take")}</span>
            </button>
          </li>
        ))}
      </ul>
      {ask ? (
        <a
          class="button full"
          href={askPhasePath(job.header.id, view.step.key, ask.item, ask.phase)}
        >
          {say("conflict.again")}
        </a>
      ) : null}
    </div>
  );
}
