/* Today's jobs in promise order: what stands where, how far it is, and what comes next. */
import type { ListedJob } from "../store/schema";
import { PlaceChip } from "./chip";
import { type Frame, Layout } from "./layout";
import { jobPath } from "./paths";
import { type Clock, count, isLate, promiseDay, serviceInWords, timeOfDay } from "./words";

type Day = { heading: string; jobs: ListedJob[] };

export function promiseOf({ header, summary }: ListedJob): string | null {
  return summary.readyAt ?? header.promised_at;
}

/** Ready bikes need no hands: they come last, whatever their day. */
export function groupByDay(jobs: ListedJob[], clock: Clock): Day[] {
  const days = new Map<string, ListedJob[]>();
  for (const job of jobs) {
    const heading = job.summary.place === "ready" ? "Ready" : promiseDay(promiseOf(job), clock);
    days.set(heading, [...(days.get(heading) ?? []), job]);
  }
  const ready = days.get("Ready");
  days.delete("Ready");
  const listed = [...days].map(([heading, each]) => ({ heading, jobs: each }));
  return ready ? [...listed, { heading: "Ready", jobs: ready }] : listed;
}

export function TodayPage({ frame, jobs }: { frame: Frame; jobs: ListedJob[] }) {
  const clock = frame.truth.clock;
  return (
    <Layout frame={frame} title="Jobs" refresh="/bench/">
      <h1>{count(jobs.length, "job")}</h1>
      {jobs.length === 0 ? <Empty frame={frame} /> : null}
      {groupByDay(jobs, clock).map((day) => (
        <section class="day">
          <h2 class="day-heading">
            {day.heading} <small>{count(day.jobs.length, "job")}</small>
          </h2>
          <ul class="jobs">
            {day.jobs.map((job) => (
              <Row job={job} clock={clock} frame={frame} />
            ))}
          </ul>
        </section>
      ))}
    </Layout>
  );
}

function Empty({ frame }: { frame: Frame }) {
  return (
    <div class="empty">
      <p>
        {frame.truth.facts.last_at
          ? "No bike is in the house."
          : "The jobs have not been fetched yet."}
      </p>
      <p>Jobs booked in at the desk come here by themselves while there is a connection.</p>
    </div>
  );
}

function timeWords(job: ListedJob, clock: Clock): string {
  const promise = promiseOf(job);
  if (promise === null) return "no time";
  const time = timeOfDay(promise, clock);
  return isLate(promise, clock) && job.summary.place !== "ready" ? `${time}, late` : time;
}

function Row({ job, clock, frame }: { job: ListedJob; clock: Clock; frame: Frame }) {
  const { header, summary } = job;
  const hands = summary.handsOn.flatMap(
    (id) => frame.workshop?.people.find((each) => each.id === id)?.name ?? [],
  );
  return (
    <li class="job-row" id={`job-${header.id}`}>
      <a class="job-link" href={jobPath(header.id)}>
        <span class="job-line">
          <span class="job-number">{header.number}</span>
          <span class="job-time">{timeWords(job, clock)}</span>
        </span>
        <span class="job-bike">{header.bike}</span>
        <span class="job-about">
          <span>{serviceInWords(header.service)}</span>
          {header.customer ? <span>{header.customer}</span> : null}
          <PlaceChip place={summary.place} />
          {summary.conflicts > 0 ? (
            <span class="strong">{`${summary.conflicts} to settle`}</span>
          ) : null}
          {hands.length > 0 ? <span>{`hands on: ${hands.join(", ")}`}</span> : null}
        </span>
        <span class="job-progress">
          <progress
            class="rule"
            value={summary.done}
            max={Math.max(1, summary.total)}
            aria-hidden="true"
          ></progress>
          <span class="soft">{`${summary.done} of ${summary.total}`}</span>
        </span>
        {summary.next ? <span class="job-next">{`Next: ${summary.next}`}</span> : null}
      </a>
    </li>
  );
}
