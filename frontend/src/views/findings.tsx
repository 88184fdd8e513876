/* What else was found on the bike, and what became of it. */
import { say, word } from "../words/bench";
import { SafetyMark } from "./chip";
import { Glyph } from "./glyph";
import { type JobView, nameOf } from "./job-model";

export function findingState(job: JobView, id: string): string {
  const answer = job.state.answers[id];
  if (answer === "yes" && job.state.parts.includes(id)) return say("findings.parts");
  if (answer) return word("answer", answer);
  if (job.state.added.some((each) => each.finding === id)) return say("answer.yes");
  return job.state.asking.includes(id) ? say("findings.asking") : say("findings.reported");
}

export function FindingList({ job }: { job: JobView }) {
  const { findings } = job.state;
  if (findings.length === 0) return null;
  return (
    <section class="stack tight" aria-labelledby="findings">
      <h2 id="findings">{say("findings.heading", { n: findings.length })}</h2>
      <ul class="steps">
        {findings.map((finding) => (
          <li class="step job-finding" id={`finding-${finding.id}`}>
            <Glyph name="finding" />
            <div class="step-text">
              <span class="step-title">{finding.body.title ?? say("findings.blanked")}</span>
              <div class="step-about">
                <span class="strong">{findingState(job, finding.id)}</span>
                <span>{say("frame.minutes", { n: Number(finding.body.minutes) })}</span>
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
