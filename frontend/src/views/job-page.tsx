/* The page of one job: what was agreed, what was found, every step in working order, and the bar under the thumb. */
import type { OtherPhone } from "../store/schema";
import { rich, say, word } from "../words/bench";
import { Bar } from "./bar";
import { PlaceChip } from "./chip";
import { FindingList } from "./findings";
import { Glyph } from "./glyph";
import { Since } from "./hands";
import { type JobView, nameOf, type StageView } from "./job-model";
import type { Kept } from "./kept-line";
import { type Frame, Layout } from "./layout";
import { findPath, handsPath, jobPath, photoPagePath, torquePath } from "./paths";
import { PhotoStrip, type StripProps } from "./photos";
import { StageStrip } from "./stage-strip";
import { StepRow } from "./step-row";
import { countDone, fastenersOf } from "./torque-run";
import { type Clock, money, whenInWords } from "./words";

/** Newer notes matter; all of them stand in the history. */
const SHOWN_NOTES = 5;

type PageProps = {
  frame: Frame;
  job: JobView;
  me: string;
  strip: StripProps;
  /** Who else has this job open, as last heard. */
  others: OtherPhone[];
  kept?: Kept | undefined;
};

export function promiseSentence(job: JobView, clock: Clock): string {
  const at = job.state.ready_at ?? job.header.promised_at;
  return at ? say("promise.at", { when: whenInWords(at, clock) }) : say("promise.none-yet");
}

export function JobPage({ frame, job, me, strip, others, kept }: PageProps) {
  const { header } = job;
  const clock = frame.truth.clock;
  return (
    <Layout
      frame={frame}
      title={`${header.number} ${header.bike}`}
      back={{ href: "/bench/", word: say("frame.jobs") }}
      job={header.id}
      refresh={jobPath(header.id)}
      foot={<Foot job={job} me={me} />}
      kept={kept}
    >
      <Heading job={job} clock={clock} others={others} />
      <Agreed job={job} />
      <Attention job={job} />
      <Ways job={job} />
      <FindingList job={job} />
      <Notes job={job} clock={clock} />
      <PhotoStrip {...strip} />
      <div class="stack" id="stages">
        {job.stages.map((stage) => (
          <Stage job={job} stage={stage} clock={clock} />
        ))}
      </div>
    </Layout>
  );
}

type HeadingProps = { job: JobView; clock: Clock; others: OtherPhone[] };

function Heading({ job, clock, others }: HeadingProps) {
  const { header, state } = job;
  return (
    <header class="stack tight">
      <h1>
        <span class="job-number">{header.number}</span> {header.bike}
      </h1>
      <p class="row">
        <PlaceChip place={state.place} />
        <span>{word("service", header.service)}</span>
        <span>{promiseSentence(job, clock)}</span>
      </p>
      {state.hands.length > 0 ? (
        <p>
          <a class="row hands-way" href={handsPath(header.id)}>
            {state.hands.map((each) => (
              <span class="on-now">
                <Glyph name="hands" />
                {nameOf(job, each.by)} <Since at={each.at} clock={clock} />
              </span>
            ))}
          </a>
        </p>
      ) : null}
      {others.map(({ by, device, at }) => (
        <p>
          {by
            ? say("others.here", { name: nameOf(job, by), device, when: whenInWords(at, clock) })
            : say("others.nobody-here", { device, when: whenInWords(at, clock) })}
        </p>
      ))}
    </header>
  );
}

function Agreed({ job }: { job: JobView }) {
  const { header } = job;
  const limit = header.go_ahead_minor ?? 0;
  return (
    <section class="panel stack tight" aria-label={say("job.agreed")}>
      {header.says ? (
        <p>
          {rich(
            "job.says",
            { soft: (words) => <span class="soft">{words}</span> },
            { customer: header.customer || say("job.rider"), words: header.says },
          )}
        </p>
      ) : null}
      <p>
        {limit > 0
          ? say("job.limit", { amount: money(limit, header.currency) })
          : say("job.no-limit")}
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
          <h2>
            {released.mode === "safe" ? say("job.released-safe") : say("job.released-unsafe")}
          </h2>
          <p>{say("job.released-late")}</p>
        </div>
      ) : null}
      {disputed.length > 0 ? (
        <div class="notice">
          <h2>{say("job.conflicts", { n: disputed.length })}</h2>
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
  const torque = fastenersOf(job);
  const base = jobPath(job.header.id);
  return (
    <nav class="ways" aria-label={say("job.ways")}>
      {torque.length > 0 ? (
        <a class="button" href={torquePath(job.header.id)}>
          <Glyph name="torque" />
          {say("job.torque", countDone(torque))}
        </a>
      ) : null}
      <a class="button" href={photoPagePath(job.header.id)}>
        <Glyph name="photo" />
        {job.state.photos.length > 0
          ? say("job.photos", { n: job.state.photos.length })
          : say("job.no-photos")}
      </a>
      <a class="button" href={`${base}/history`}>
        <Glyph name="clock" />
        {say("job.history")}
      </a>
    </nav>
  );
}

function Notes({ job, clock }: { job: JobView; clock: Clock }) {
  const { notes } = job.state;
  if (notes.length === 0) return null;
  return (
    <section class="stack tight" aria-label={say("job.notes")}>
      {notes.length > SHOWN_NOTES ? (
        <p>
          <a class="button" href={`${jobPath(job.header.id)}/history`}>
            {say("job.all-notes", { n: notes.length })}
          </a>
        </p>
      ) : null}
      {notes.slice(-SHOWN_NOTES).map((note) => (
        <p class="panel note">
          {note.body.text ?? say("job.blanked-note")}{" "}
          <span class="soft">
            {say("job.written", { name: nameOf(job, note.by), when: whenInWords(note.at, clock) })}
          </span>
        </p>
      ))}
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
      {word("stage", stage.stage)}
      <span class="stage-count">
        {say("frame.done-of", { done: stage.done, total: stage.total })}
      </span>
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
      <StageStrip stages={job.stages} now={next?.step.stage} />
      <span class="next-word">{next ? say("job.next") : say("job.all-done")}</span>
      <span class="next-title">{next?.step.title ?? ""}</span>
      <span class="soft nowrap">{say("frame.done-of", { done: job.done, total: job.total })}</span>
    </a>
  );
}

function Foot({ job, me }: { job: JobView; me: string }) {
  return (
    <div class="sticky">
      <div class="next-row">
        <NextLine job={job} />
        <a class="find-way" href={findPath(job.header.id)}>
          <Glyph name="search" />
          <span class="hidden-text">{say("find.step")}</span>
        </a>
      </div>
      <Bar job={job} me={me} />
    </div>
  );
}
