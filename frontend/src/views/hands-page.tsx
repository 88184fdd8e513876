/* Whose hands are on one bike, and every way to say when they came off: also for who left and forgot. */
import type { RunningHands } from "../store/schema";
import { say } from "../words/bench";
import { Bar } from "./bar";
import { formAttributes, Hidden } from "./forms";
import { Ends, Since } from "./hands";
import { type JobView, nameOf } from "./job-model";
import { type Frame, Layout } from "./layout";
import { handsPath, jobPath } from "./paths";
import { whenInWords } from "./words";

type PageProps = { frame: Frame; job: JobView; all: RunningHands[]; error?: string };

export function HandsPage({ frame, job, all, error }: PageProps) {
  const id = job.header.id;
  return (
    <Layout
      frame={{ ...frame, hands: [] }}
      title={say("hands.title")}
      back={{ href: jobPath(id), word: job.header.number }}
      job={id}
      refresh={handsPath(id)}
      foot={
        <div class="sticky">
          <Bar job={job} me={frame.me} />
        </div>
      }
    >
      <h1>{say("hands.title")}</h1>
      {all.length === 0 ? <p>{say("hands.nobody")}</p> : null}
      {all.map((hands) => (
        <HandsForm frame={frame} job={job} hands={hands} {...(error ? { error } : {})} />
      ))}
    </Layout>
  );
}

type FormProps = { frame: Frame; job: JobView; hands: RunningHands; error?: string };

export function HandsForm({ frame, job, hands, error }: FormProps) {
  const { clock } = frame.truth;
  const by = job.state.hands.find((each) => each.id === hands.id)?.by ?? "";
  return (
    <form
      {...formAttributes(handsPath(job.header.id), `hands-${hands.id}`)}
      class="panel stack tight"
      novalidate
    >
      <h2>{nameOf(job, by)}</h2>
      <p>
        {say("hands.since", { when: whenInWords(hands.at, clock) })}{" "}
        <strong>
          <Since at={hands.at} clock={clock} />
        </strong>
      </p>
      <Hidden values={{ hands: hands.id }} />
      <div class={error ? "field short wrong" : "field short"}>
        <label for={`time-${hands.id}`}>{say("hands.time")}</label>
        {error ? (
          <span class="error" role="alert">
            {error}
          </span>
        ) : null}
        <input id={`time-${hands.id}`} name="time" type="time" />
      </div>
      <button type="submit" class="button large full">
        {say("hands.stop-then")}
      </button>
      <Ends hands={hands} frame={frame} />
      <button type="submit" name="now" value="1" class="button primary large full">
        {say("hands.stop-now")}
      </button>
    </form>
  );
}
