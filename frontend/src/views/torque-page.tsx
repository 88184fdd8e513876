/* The torque run: every fastener of the job in bike order, found and left, the next one big. */
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
      title="Torque run"
      back={{ href: jobPath(id), word: job.header.number }}
      job={id}
      refresh={`${jobPath(id)}/torque`}
    >
      <h1>Torque run</h1>
      <p class="row">
        <progress class="rule" value={answered} max={run.length} aria-hidden="true"></progress>
        <span class="soft">{`${answered} of ${run.length} readings`}</span>
      </p>
      {next ? (
        <NextFastener job={job} next={next} />
      ) : (
        <p class="panel strong">Every fastener that must be recorded is recorded.</p>
      )}
      <ol class="steps">
        {fasteners(run).map((line) => (
          <Fastener job={job} line={line} />
        ))}
      </ol>
      <p class="soft">
        Find how tight it is before turning it, then write down what it is left at. A figure printed
        on the part comes first.
      </p>
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
        <span class="torque-band">{`${ask.phase === "left" ? "Left at" : "Found"} · ${bandInWords(notedLimits(view, ask))}`}</span>
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
