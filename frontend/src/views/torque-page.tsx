/* The torque run: every fastener of the job in bike order, found and left, the next one big. */
import { say, word } from "../words/bench";
import { notedLimits } from "./ask-screen";
import { bandInWords } from "./band";
import { Glyph } from "./glyph";
import { type JobView, type TorqueAsk, torqueRun } from "./job-model";
import { type Frame, Layout } from "./layout";
import { askPhasePath, jobPath } from "./paths";
import { Cell } from "./step-asks";

export function nextTorque(job: JobView): TorqueAsk | undefined {
  return torqueRun(job).find(({ ask }) => ask.required && !ask.settled);
}

/** Both phases of one fastener are one line. */
function fasteners(run: TorqueAsk[]): TorqueAsk[][] {
  const lines = new Map<string, TorqueAsk[]>();
  for (const each of run) {
    const key = `${each.view.step.key}:${each.ask.ask.item}`;
    lines.set(key, [...(lines.get(key) ?? []), each]);
  }
  return [...lines.values()];
}

export function TorquePage({ frame, job }: { frame: Frame; job: JobView }) {
  const run = torqueRun(job);
  const next = nextTorque(job);
  const answered = run.filter(({ ask }) => ask.settled).length;
  const id = job.header.id;
  return (
    <Layout
      frame={frame}
      title={say("torque.title")}
      back={{ href: jobPath(id), word: job.header.number }}
      job={id}
      refresh={`${jobPath(id)}/torque`}
    >
      <h1>{say("torque.title")}</h1>
      <p class="row">
        <progress class="rule" value={answered} max={run.length} aria-hidden="true"></progress>
        <span class="soft">{say("torque.answered", { done: answered, total: run.length })}</span>
      </p>
      {next ? (
        <NextFastener job={job} next={next} />
      ) : (
        <p class="panel strong">{say("torque.all-done")}</p>
      )}
      <ol class="steps">
        {fasteners(run).map((line) => (
          <Fastener job={job} line={line} />
        ))}
      </ol>
      <p class="soft">{say("torque.how")}</p>
    </Layout>
  );
}

function NextFastener({ job, next }: { job: JobView; next: TorqueAsk }) {
  const { ask, view } = next;
  return (
    <a
      class="button primary large full torque-next"
      href={askPhasePath(job.header.id, view.step.key, ask.ask.item, ask.phase, "torque")}
    >
      <span>
        <span class="torque-label">{ask.ask.label}</span>
        <span class="torque-band">
          {say("torque.next", {
            phase: word("phase-title", ask.phase),
            limits: bandInWords(notedLimits(view, ask)),
          })}
        </span>
      </span>
      <Glyph name="next" />
    </a>
  );
}

function Fastener({ job, line }: { job: JobView; line: TorqueAsk[] }) {
  const first = line[0];
  if (!first) return null;
  const done = line.every(({ ask }) => !ask.required || ask.settled);
  return (
    <li class={done ? "step done fastener" : "step fastener"}>
      <div class="step-text">
        <span class="step-title">{first.ask.ask.label}</span>
        <div class="step-about">
          <span>{bandInWords(notedLimits(first.view, first.ask))}</span>
          {first.view.step.compound ? <span>{first.view.step.compound.title}</span> : null}
        </div>
      </div>
      <div class="step-more ask-cells">
        {line.map(({ view, ask }) => (
          <Cell job={job} view={view} ask={ask} run="torque" />
        ))}
      </div>
    </li>
  );
}
