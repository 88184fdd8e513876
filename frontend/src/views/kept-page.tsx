/* What is kept on this phone: what waits, what was refused and why, and ways to send or carry it away. */
import type { Entry } from "../journal/entry";
import type { PhotoRow, RefusedRow } from "../store/schema";
import { entryInWords } from "./history";
import type { JobView } from "./job-model";
import { type Frame, Layout } from "./layout";
import { clockSentence, truthSentence } from "./truth";
import { count, whenInWords } from "./words";

export type KeptScreen = {
  frame: Frame;
  unsent: Entry[];
  refused: RefusedRow[];
  refusedPhotos: Array<Pick<PhotoRow, "sha256" | "job" | "refused">>;
  jobs: Map<string, JobView>;
  version: string;
  device: string;
};

export function KeptPage(screen: KeptScreen) {
  const { frame } = screen;
  return (
    <Layout
      frame={frame}
      title="Kept on this phone"
      back={{ href: "/bench/", word: "All jobs" }}
      refresh="/bench/kept"
    >
      <h1>Kept on this phone</h1>
      <p>{`${truthSentence(frame.truth)}.`}</p>
      {frame.truth.facts.message && frame.truth.facts.problem !== "offline" ? (
        <p class="notice">{frame.truth.facts.message}</p>
      ) : null}
      <div class="button-row">
        <form method="post" action="/bench/kept/send">
          <button type="submit" class="button primary large">
            Send now
          </button>
        </form>
        <a class="button large" href="/bench/kept/export" download="shopfloor-kept.json">
          Save as a file
        </a>
        {frame.truth.facts.problem === "sign-in" ? (
          <a class="button large" href="/bench/enrol">
            Sign in again
          </a>
        ) : null}
      </div>
      <Waiting screen={screen} />
      <Refused screen={screen} />
      <About screen={screen} />
    </Layout>
  );
}

function lineOf(screen: KeptScreen, entry: Entry): string {
  const job = screen.jobs.get(entry.job);
  return `${numberOf(screen, entry.job)}: ${entryInWords(job, entry)}`;
}

function numberOf({ jobs }: KeptScreen, job: string): string {
  return jobs.get(job)?.header.number ?? "a job";
}

function Waiting({ screen }: { screen: KeptScreen }) {
  const { unsent, frame } = screen;
  if (unsent.length === 0) return null;
  return (
    <section class="stack tight">
      <h2>{`${count(unsent.length, "entry", "entries")} to send`}</h2>
      <ul class="steps">
        {unsent.slice(0, 200).map((entry) => (
          <li class="step written">
            <div class="step-text">
              <span>{lineOf(screen, entry)}</span>
              <div class="step-about">{whenInWords(entry.at, frame.truth.clock)}</div>
            </div>
          </li>
        ))}
      </ul>
      {unsent.length > 200 ? <p class="soft">{`and ${unsent.length - 200} more`}</p> : null}
    </section>
  );
}

function Refused({ screen }: { screen: KeptScreen }) {
  const { refused, refusedPhotos, frame } = screen;
  if (refused.length + refusedPhotos.length === 0) return null;
  return (
    <section class="stack tight" id="refused">
      <h2>Refused by the server</h2>
      <p class="soft">
        These stay on this phone and count no longer in the job. Write them again if they are still
        true.
      </p>
      <ul class="steps">
        {refused.map((row) => (
          <li class="step written">
            <div class="step-text">
              <span>{lineOf(screen, row.entry)}</span>
              <p class="strong">{row.message}</p>
              <div class="step-about">
                <span>{`code ${row.code}`}</span>
                <span>{`written ${whenInWords(row.entry.at, frame.truth.clock)}`}</span>
              </div>
            </div>
          </li>
        ))}
        {refusedPhotos.map((photo) => (
          <li class="step written">
            <div class="step-text">
              <span>{`${numberOf(screen, photo.job)}: photo`}</span>
              <p class="strong">{photo.refused}</p>
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
}

function About({ screen }: { screen: KeptScreen }) {
  const { facts, clock } = screen.frame.truth;
  return (
    <section class="stack tight soft small">
      <p>
        {facts.last_at
          ? `Last in step with the server ${whenInWords(facts.last_at, clock)}.`
          : "Never in step with the server yet."}
      </p>
      {Math.abs(facts.clock_offset_ms) > 60_000 ? (
        <p>{clockSentence(facts.clock_offset_ms)}</p>
      ) : null}
      <p>{`Bench version ${screen.version}, this phone ${screen.device.slice(0, 8)}.`}</p>
    </section>
  );
}
