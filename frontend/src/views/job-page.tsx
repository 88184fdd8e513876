/* The page of one job: what was agreed, what was found, every step in working order, and the bar under the thumb. */
import { PlaceChip } from "./chip";
import { FindingList } from "./findings";
import { actionAttributes } from "./forms";
import { Glyph } from "./glyph";
import { type JobView, nameOf, type StageView, torqueRun } from "./job-model";
import { type Frame, Layout } from "./layout";
import { jobPath, photoPagePath } from "./paths";
import { PhotoStrip } from "./photos";
import { StepRow } from "./step-row";
import { type Clock, count, money, serviceInWords, stageInWords, whenInWords } from "./words";

/** Newer notes matter; all of them stand in the history. */
const SHOWN_NOTES = 5;

type PageProps = { frame: Frame; job: JobView; me: string };

export function promiseSentence(job: JobView, clock: Clock): string {
  const at = job.state.ready_at ?? job.header.promised_at;
  return at ? `Promised ${whenInWords(at, clock)}` : "No day promised yet";
}

export function JobPage({ frame, job, me }: PageProps) {
  const { header } = job;
  const clock = frame.truth.clock;
  return (
    <Layout
      frame={frame}
      title={`${header.number} ${header.bike}`}
      back={{ href: "/bench/", word: "All jobs" }}
      job={header.id}
      refresh={jobPath(header.id)}
      foot={<Foot job={job} me={me} />}
    >
      <Heading job={job} clock={clock} />
      <Agreed job={job} />
      <Attention job={job} />
      <Ways job={job} />
      <FindingList job={job} />
      <Notes job={job} clock={clock} />
      <div class="stack" id="stages">
        {job.stages.map((stage) => (
          <Stage job={job} stage={stage} clock={clock} />
        ))}
      </div>
    </Layout>
  );
}

function Heading({ job, clock }: { job: JobView; clock: Clock }) {
  const { header, state } = job;
  return (
    <header class="stack tight">
      <h1>
        <span class="job-number">{header.number}</span> {header.bike}
      </h1>
      <p class="row">
        <PlaceChip place={state.place} />
        <span>{serviceInWords(header.service)}</span>
        <span>{promiseSentence(job, clock)}</span>
      </p>
      {state.hands.length > 0 ? (
        <p class="soft">{`Hands on: ${state.hands.map((each) => nameOf(job, each.by)).join(", ")}`}</p>
      ) : null}
    </header>
  );
}

function Agreed({ job }: { job: JobView }) {
  const { header } = job;
  const limit = header.go_ahead_minor ?? 0;
  return (
    <section class="panel stack tight" aria-label="What was agreed">
      {header.says ? (
        <p>
          <span class="soft">{`${header.customer || "The rider"} says: `}</span>“{header.says}”
        </p>
      ) : null}
      <p>
        {limit > 0
          ? `Extra work up to ${money(limit, header.currency)} may go ahead without asking.`
          : "No extra work without asking."}
      </p>
      {header.history ? <p class="soft">{header.history}</p> : null}
    </section>
  );
}

/** What must be seen before anything else. */
function Attention({ job }: { job: JobView }) {
  const disputed = job.steps.filter((view) => view.conflicts.length > 0);
  const released = job.state.released;
  return (
    <>
      {released ? (
        <div class="notice quiet">
          <h3>
            {released.mode === "safe" ? "Released: safe to ride" : "Released: not to be ridden"}
          </h3>
          <p>What is written from here on is kept and shown as late.</p>
        </div>
      ) : null}
      {disputed.length > 0 ? (
        <div class="notice">
          <h3>{`${count(disputed.length, "step")} with two different entries`}</h3>
          {disputed.map((view) => (
            <p>
              <a href={`#step-${view.step.key}`}>{view.step.title}</a>
            </p>
          ))}
        </div>
      ) : null}
    </>
  );
}

function Ways({ job }: { job: JobView }) {
  const torque = torqueRun(job);
  const answered = torque.filter(({ ask }) => ask.settled).length;
  const base = jobPath(job.header.id);
  return (
    <nav class="ways" aria-label="This job">
      {torque.length > 0 ? (
        <a class="button" href={`${base}/torque`}>
          <Glyph name="torque" />
          {`Torque ${answered} of ${torque.length}`}
        </a>
      ) : null}
      <a class="button" href={photoPagePath(job.header.id)}>
        <Glyph name="photo" />
        {job.state.photos.length > 0 ? count(job.state.photos.length, "photo") : "Photos"}
      </a>
      <a class="button" href={`${base}/history`}>
        <Glyph name="clock" />
        History
      </a>
    </nav>
  );
}

function Notes({ job, clock }: { job: JobView; clock: Clock }) {
  const { notes, photos } = job.state;
  if (notes.length + photos.length === 0) return null;
  return (
    <section class="stack tight" aria-label="Notes and photos">
      {notes.length > SHOWN_NOTES ? (
        <p>
          <a
            class="button"
            href={`${jobPath(job.header.id)}/history`}
          >{`All ${notes.length} notes`}</a>
        </p>
      ) : null}
      {notes.slice(-SHOWN_NOTES).map((note) => (
        <p class="panel note">
          {note.body.text ?? "This note was blanked."}
          <span class="soft">{` ${nameOf(job, note.by)}, ${whenInWords(note.at, clock)}`}</span>
        </p>
      ))}
      {photos.length > 0 ? <PhotoStrip photos={photos.slice(-4)} /> : null}
    </section>
  );
}

export function StageHeading({ stage, oob }: { stage: StageView; oob?: boolean }) {
  return (
    <h2
      id={`stage-${stage.stage}`}
      class="stage-heading"
      {...(oob ? { "hx-swap-oob": "outerMorph" } : {})}
    >
      {stageInWords(stage.stage)}
      <span class="stage-count">{`${stage.done} of ${stage.total}`}</span>
      <progress class="rule" value={stage.done} max={stage.total} aria-hidden="true"></progress>
    </h2>
  );
}

function Stage({ job, stage, clock }: { job: JobView; stage: StageView; clock: Clock }) {
  return (
    <section class="stage" aria-labelledby={`stage-${stage.stage}`}>
      <StageHeading stage={stage} />
      <ol class="steps">
        {stage.steps.map((view) => (
          <StepRow job={job} view={view} clockTime={(iso) => whenInWords(iso, clock)} />
        ))}
      </ol>
    </section>
  );
}

export function NextLine({ job, oob }: { job: JobView; oob?: boolean }) {
  const { next } = job;
  return (
    <a
      id="next-line"
      class="next-line"
      href={next ? `#step-${next.step.key}` : "#stages"}
      {...(oob ? { "hx-swap-oob": "outerMorph" } : {})}
    >
      <span class="next-word">{next ? "Next" : "All steps done"}</span>
      <span class="next-title">{next?.step.title ?? ""}</span>
      <span class="soft nowrap">{`${job.done} of ${job.total}`}</span>
    </a>
  );
}

function Foot({ job, me }: { job: JobView; me: string }) {
  const base = jobPath(job.header.id);
  return (
    <div class="sticky">
      <NextLine job={job} />
      <div class="sticky-row">
        <a class="sticky-button" href={photoPagePath(job.header.id)}>
          <Glyph name="camera" />
          Photo
        </a>
        <a class="sticky-button" href={`${base}/finding`}>
          <Glyph name="finding" />
          Finding
        </a>
        <a class="sticky-button" href={`${base}/note`}>
          <Glyph name="note" />
          Note
        </a>
        <HandsButton job={job} me={me} />
      </div>
    </div>
  );
}

export function HandsButton({ job, me }: { job: JobView; me: string }) {
  const mine = job.state.hands.filter((each) => each.by === me);
  const on = mine.length > 0;
  const values = { on: on ? "" : "1", mine: mine.map((each) => each.id).join(",") };
  return (
    <button
      id="hands"
      type="button"
      class="sticky-button"
      aria-pressed={on ? "true" : "false"}
      {...actionAttributes(`${jobPath(job.header.id)}/hands`, "#hands", values)}
    >
      <Glyph name="hands" />
      {on ? "Hands off" : "Hands on"}
    </button>
  );
}
