/* What was written, by whom and when, oldest first; an own entry can be taken back with a reason. */
import { BENCH_KINDS, type Entry } from "../journal/entry";
import { say } from "../words/bench";
import { entryInWords } from "./entry-words";
import { formAttributes, Hidden } from "./forms";
import { type JobView, nameOf } from "./job-model";
import { type Frame, Layout } from "./layout";
import { jobPath } from "./paths";
import { type Clock, whenInWords } from "./words";

type ListProps = { job: JobView; clock: Clock; me: string; step?: string };

export function HistoryPage({ frame, job, me }: { frame: Frame; job: JobView; me: string }) {
  const id = job.header.id;
  return (
    <Layout
      frame={frame}
      title={say("history.title")}
      back={{ href: jobPath(id), word: job.header.number }}
      job={id}
      refresh={`${jobPath(id)}/history`}
    >
      <h1>{say("history.title")}</h1>
      <HistoryList job={job} clock={frame.truth.clock} me={me} />
    </Layout>
  );
}

export function HistoryList({ job, clock, me, step }: ListProps) {
  const entries = job.entries
    .filter((entry) => step === undefined || entry.body.step === step)
    .sort((one, other) => (one.at < other.at ? -1 : 1));
  if (entries.length === 0)
    return step === undefined ? <p class="empty">{say("history.empty")}</p> : null;
  const replaced = new Set(job.entries.flatMap((entry) => entry.supersedes));
  return (
    <section id="history" class="stack tight" aria-label={say("history.written")}>
      {step === undefined ? null : <h2>{say("history.written")}</h2>}
      <ul class="steps">
        {entries.map((entry) => (
          <Line job={job} entry={entry} clock={clock} me={me} replaced={replaced.has(entry.id)} />
        ))}
      </ul>
    </section>
  );
}

type LineProps = { job: JobView; entry: Entry; clock: Clock; me: string; replaced: boolean };

function Line({ job, entry, clock, me, replaced }: LineProps) {
  const takeable =
    BENCH_KINDS.has(entry.kind) && entry.kind !== "void" && entry.by === me && !replaced;
  return (
    <li class={replaced ? "step written replaced" : "step written"}>
      <div class="step-text">
        <span>{entryInWords(job, entry)}</span>
        <div class="step-about">
          <span>{nameOf(job, entry.by)}</span>
          <span>{whenInWords(entry.at, clock)}</span>
          {typeof entry.body.until === "string" ? (
            <span>{say("history.until", { when: whenInWords(entry.body.until, clock) })}</span>
          ) : null}
          {replaced ? <span>{say("history.replaced")}</span> : null}
          {job.unsent.has(entry.id) ? <span class="strong">{say("history.unsent")}</span> : null}
        </div>
      </div>
      {takeable ? <TakeBack job={job} entry={entry} /> : null}
    </li>
  );
}

function TakeBack({ job, entry }: { job: JobView; entry: Entry }) {
  return <TakeBackForm job={job.header.id} id={entry.id} reason="" open={false} />;
}

type TakeBackProps = { job: string; id: string; reason: string; open: boolean; error?: string };

export function TakeBackForm({ job, id, reason, open, error }: TakeBackProps) {
  return (
    <details class="step-more" open={open}>
      <summary>{say("history.take-back")}</summary>
      <form {...formAttributes(`${jobPath(job)}/void`, `void-${id}`)} class="stack tight">
        <Hidden values={{ entry: id }} />
        <div class={error ? "field wrong" : "field"}>
          <label for={`reason-${id}`}>{say("history.why")}</label>
          {error ? <span class="error">{error}</span> : null}
          <input id={`reason-${id}`} name="reason" value={reason} maxlength={300} />
        </div>
        <button type="submit" class="button">
          {say("history.take-back")}
        </button>
      </form>
    </details>
  );
}
