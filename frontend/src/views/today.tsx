/* Today's jobs in promise order: what stands where, how far it is, and what comes next. */
import type { JobBrief, ListedJob, WalkInRow } from "../store/schema";
import { say, word } from "../words/bench";
import { PlaceChip } from "./chip";
import { Coming } from "./coming";
import { Glyph } from "./glyph";
import { Since } from "./hands";
import { type Frame, Layout } from "./layout";
import { jobPath, WALK_IN } from "./paths";
import { OldTags } from "./walk-in-opened";
import { type Clock, isLate, promiseDay, timeOfDay } from "./words";

type Day = { heading: string; jobs: ListedJob[] };

export function promiseOf({ header, summary }: ListedJob): string | null {
  return summary.readyAt ?? header.promised_at;
}

/** Ready bikes need no hands: they come last, whatever their day. */
export function groupByDay(jobs: ListedJob[], clock: Clock): Day[] {
  const days = new Map<string, ListedJob[]>();
  const ready = jobs.filter((job) => job.summary.place === "ready");
  for (const job of jobs) {
    if (job.summary.place === "ready") continue;
    const heading = promiseDay(promiseOf(job), clock);
    days.set(heading, [...(days.get(heading) ?? []), job]);
  }
  const listed = [...days].map(([heading, each]) => ({ heading, jobs: each }));
  return ready.length > 0 ? [...listed, { heading: say("today.ready"), jobs: ready }] : listed;
}

type PageProps = {
  frame: Frame;
  jobs: ListedJob[];
  oldTags: WalkInRow[];
  coming: JobBrief[];
};

export function TodayPage({ frame, jobs, oldTags, coming }: PageProps) {
  const clock = frame.truth.clock;
  return (
    <Layout frame={frame} title={say("today.title")} refresh="/bench/" foot={<Foot />}>
      <h1>{say("today.jobs", { n: jobs.length })}</h1>
      <OldTags walkIns={oldTags} jobs={jobs} />
      {jobs.length === 0 ? <Empty frame={frame} /> : null}
      {groupByDay(jobs, clock).map((day) => (
        <section class="day">
          <h2 class="day-heading">
            {day.heading} <small>{say("today.jobs", { n: day.jobs.length })}</small>
          </h2>
          <ul class="jobs">
            {day.jobs.map((job) => (
              <JobRow job={job} clock={clock} frame={frame} />
            ))}
          </ul>
        </section>
      ))}
      <Coming jobs={coming} />
    </Layout>
  );
}

/** The ways to a bike that is not in sight. */
function Foot() {
  return (
    <div class="sticky">
      <nav class="sticky-row" aria-label={say("today.ways")}>
        <a class="sticky-button" href="/bench/scan">
          <Glyph name="scan" />
          {say("scan.title")}
        </a>
        <a class="sticky-button" href="/bench/find">
          <Glyph name="search" />
          {say("find.job")}
        </a>
        <a class="sticky-button" href={WALK_IN}>
          <Glyph name="plus" />
          {say("walk-in.take-in")}
        </a>
      </nav>
    </div>
  );
}

function Empty({ frame }: { frame: Frame }) {
  return (
    <div class="empty">
      <p>{frame.truth.facts.last_at ? say("today.empty") : say("today.not-fetched")}</p>
      <p>{say("today.how-they-come")}</p>
    </div>
  );
}

function timeWords(job: ListedJob, clock: Clock): string {
  const promise = promiseOf(job);
  if (promise === null) return say("today.no-time");
  const time = timeOfDay(promise, clock);
  const late = isLate(promise, clock) && job.summary.place !== "ready";
  return late ? say("today.late", { time }) : time;
}

export function JobRow({ job, clock, frame }: { job: ListedJob; clock: Clock; frame: Frame }) {
  const { header, summary } = job;
  const nameOf = (id: string) => frame.workshop?.people.find((each) => each.id === id)?.name ?? "";
  return (
    <li class="job-row" id={`job-${header.id}`}>
      <a class="job-link" href={jobPath(header.id)}>
        <span class="job-line">
          <span class="job-number">{header.number}</span>
          <span class="job-time">{timeWords(job, clock)}</span>
        </span>
        <span class="job-bike">{header.bike}</span>
        <span class="job-about">
          <span>{word("service", header.service)}</span>
          {header.customer ? <span>{header.customer}</span> : null}
          <PlaceChip place={summary.place} />
          {summary.conflicts > 0 ? (
            <span class="strong">{say("today.conflicts", { n: summary.conflicts })}</span>
          ) : null}
          {(summary.hands ?? []).map(({ by, at }) => (
            <span class="on-now">
              <Glyph name="hands" />
              {nameOf(by)} <Since at={at} clock={clock} />
            </span>
          ))}
        </span>
        <span class="job-progress">
          <progress
            class="rule"
            value={summary.done}
            max={Math.max(1, summary.total)}
            aria-hidden="true"
          ></progress>
          <span class="soft">
            {say("frame.done-of", { done: summary.done, total: summary.total })}
          </span>
        </span>
        {summary.next ? (
          <span class="job-next">{say("today.next", { step: summary.next })}</span>
        ) : null}
      </a>
    </li>
  );
}
