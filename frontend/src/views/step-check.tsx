/* The second check: somebody else looks. Who did the work is told why not, in words. */
import { doersOf } from "../journal/progress";
import { say } from "../words/bench";
import { formAttributes, Hidden } from "./forms";
import { type JobView, nameOf, type StepView } from "./job-model";
import { stepPath } from "./paths";

export function CheckForm({ job, view, me, text, error }: PageCheck) {
  const { step } = view;
  const doers = doersOf(step, job.state);
  const settled = view.conflicts.length === 0 ? view.checkHeads[0] : undefined;
  return (
    <form
      {...formAttributes(`${stepPath(job.header.id, step.key)}/check`, "check")}
      class="panel stack tight"
    >
      <h2>{say("step.second-check")}</h2>
      {settled ? (
        <p class="strong">
          {say(settled.body.outcome === "agreed" ? "step.agreed" : "step.not-agreed", {
            name: nameOf(job, settled.by),
          })}
          {settled.body.text ? ` – ${String(settled.body.text)}` : ""}
        </p>
      ) : null}
      {doers.has(me) ? (
        <p class="error">{say("step.doer-checks", { name: nameOf(job, me) })}</p>
      ) : (
        <CheckFields view={view} text={text ?? ""} error={error} />
      )}
    </form>
  );
}

type PageCheck = { job: JobView; view: StepView; me: string; text?: string; error?: string };

function CheckFields({
  view,
  text,
  error,
}: {
  view: StepView;
  text: string;
  error: string | undefined;
}) {
  return (
    <>
      <Hidden values={{ seen: view.checkHeads.map((head) => head.id).join(",") }} />
      {error ? <p class="error">{error}</p> : null}
      <div class="field">
        <label for="check-text">{say("step.not-right")}</label>
        <textarea id="check-text" name="text" rows={2} maxlength={2000}>
          {text}
        </textarea>
      </div>
      <div class="button-row">
        <button type="submit" name="outcome" value="agreed" class="button primary large">
          {say("step.agree")}
        </button>
        <button type="submit" name="outcome" value="not-agreed" class="button large">
          {say("step.disagree")}
        </button>
      </div>
    </>
  );
}
