/* What else was found on the bike, and what became of it. */
import { SafetyMark } from "./chip";
import { Glyph } from "./glyph";
import { type JobView, nameOf } from "./job-model";
import { count } from "./words";

const ANSWERS: Record<string, string> = {
  yes: "agreed: do it",
  no: "declined: leave it",
  withdrawn: "withdrawn",
};

export function findingState(job: JobView, id: string): string {
  const answer = job.state.answers[id];
  if (answer === "yes" && job.state.parts.includes(id)) return "agreed; waits for parts";
  if (answer) return ANSWERS[answer] ?? answer;
  if (job.state.added.some((each) => each.finding === id)) return "agreed: do it";
  return job.state.asking.includes(id) ? "the customer is being asked" : "reported to the desk";
}

export function FindingList({ job }: { job: JobView }) {
  const { findings } = job.state;
  if (findings.length === 0) return null;
  return (
    <section class="stack tight" aria-labelledby="findings">
      <h2 id="findings">{count(findings.length, "finding")}</h2>
      <ul class="steps">
        {findings.map((finding) => (
          <li class="step job-finding" id={`finding-${finding.id}`}>
            <Glyph name="finding" />
            <div class="step-text">
              <span class="step-title">{finding.body.title ?? "This finding was blanked."}</span>
              <div class="step-about">
                <span class="strong">{findingState(job, finding.id)}</span>
                <span>{`${finding.body.minutes} min`}</span>
                {finding.body.safety ? <SafetyMark /> : null}
                <span>{nameOf(job, finding.by)}</span>
              </div>
              {finding.body.reason ? <p>{finding.body.reason}</p> : null}
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
}
