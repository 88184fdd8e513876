/* What is kept on this phone: what waits and why, ways to send or carry it away, and how the phone stands. */
import type { Entry } from "../journal/entry";
import type { LostRow, StorageState, WalkInRow } from "../store/schema";
import { say } from "../words/bench";
import { entryInWords } from "./entry-words";
import type { JobView } from "./job-model";
import { KeptRow } from "./kept-row";
import { type Frame, Layout } from "./layout";
import { jobPath } from "./paths";
import { Refused, type RefusedItem, Removed } from "./refused-list";
import { clockSentence, truthSentence } from "./truth";
import { whenInWords } from "./words";

export type KeptScreen = {
  frame: Frame;
  unsent: Entry[];
  walkIns: WalkInRow[];
  refused: RefusedItem[];
  removed: RefusedItem[];
  lost: LostRow[];
  jobs: Map<string, JobView>;
  storage: StorageState;
  version: string;
  /** Its short name; empty while it belongs to no workshop. */
  device: string;
};

const MOST_SHOWN = 200;

export function KeptPage(screen: KeptScreen) {
  const { frame, device } = screen;
  return (
    <Layout
      frame={frame}
      title={say("kept.title")}
      {...(device ? { back: { href: "/bench/", word: say("frame.jobs") } } : {})}
      refresh="/bench/kept"
      foot={<Actions screen={screen} />}
    >
      <h1>{say("kept.title")}</h1>
      {device ? <p>{`${truthSentence(frame.truth)}.`}</p> : <SignedOut screen={screen} />}
      <Troubles frame={frame} />
      <Waiting screen={screen} />
      <Refused items={screen.refused} clock={frame.truth.clock} enrolled={device !== ""} />
      <Lost screen={screen} />
      <Others screen={screen} />
      <Removed items={screen.removed} />
      <About screen={screen} />
    </Layout>
  );
}

function SignedOut({ screen }: { screen: KeptScreen }) {
  const { kept } = screen.frame.truth;
  const n = kept.entries + kept.photos + kept.walkIns + kept.refused;
  return (
    <p class="notice">{n > 0 ? say("kept.signed-out", { n }) : say("kept.signed-out-nothing")}</p>
  );
}

/** Having no connection is no trouble: it says so at the top already. */
function Troubles({ frame }: { frame: Frame }) {
  const { problem, message, photos_message } = frame.truth.facts;
  const said = problem === "offline" || problem === "revoked" ? [] : [message, photos_message];
  return (
    <>
      {[...new Set(said.filter(Boolean))].map((sentence) => (
        <p class="notice">{sentence}</p>
      ))}
    </>
  );
}

function Actions({ screen }: { screen: KeptScreen }) {
  const isOut = screen.device === "" || screen.frame.truth.facts.problem === "sign-in";
  return (
    <div class="sticky lone button-row">
      {screen.device ? (
        <form method="post" action="/bench/kept/send">
          <button type="submit" class="button primary large">
            {say("kept.send")}
          </button>
        </form>
      ) : null}
      <a class="button large" href="/bench/kept/export" download="shopfloor-kept.json">
        {say("kept.save")}
      </a>
      {isOut ? (
        <a class="button large" href="/bench/enrol">
          {say("truth.sign-in")}
        </a>
      ) : null}
    </div>
  );
}

function jobName({ jobs }: KeptScreen, id: string): string {
  return jobs.get(id)?.header.number ?? say("kept.a-job");
}

function entryLine(screen: KeptScreen, entry: Entry): string {
  const words = entryInWords(screen.jobs.get(entry.job), entry);
  return say("kept.line", { job: jobName(screen, entry.job), words });
}

function Waiting({ screen }: { screen: KeptScreen }) {
  const { unsent, walkIns, frame } = screen;
  const { clock } = frame.truth;
  const more = unsent.length - MOST_SHOWN;
  if (unsent.length + walkIns.length === 0) return null;
  return (
    <section class="stack tight">
      <h2>{say("kept.to-send", { n: unsent.length + walkIns.length })}</h2>
      <ul class="steps">
        {walkIns.map((row) => (
          <KeptRow
            words={say("kept.walk-in", { bike: row.bike_words, name: row.customer_name })}
            about={[whenInWords(row.opened_at, clock)]}
          />
        ))}
        {unsent.slice(0, MOST_SHOWN).map((entry) => (
          <KeptRow words={entryLine(screen, entry)} about={[whenInWords(entry.at, clock)]} />
        ))}
      </ul>
      {more > 0 ? <p class="soft">{say("kept.and-more", { n: more })}</p> : null}
    </section>
  );
}

function Lost({ screen }: { screen: KeptScreen }) {
  const { lost, frame } = screen;
  if (lost.length === 0) return null;
  return (
    <section class="stack tight" id="lost">
      <h2>{say("lost.title", { n: lost.length })}</h2>
      <p class="soft">{say("lost.why")}</p>
      <ul class="steps">
        {lost.slice(0, MOST_SHOWN).map(({ entry }) => (
          <KeptRow
            words={entryLine(screen, entry)}
            about={[whenInWords(entry.at, frame.truth.clock)]}
          />
        ))}
      </ul>
    </section>
  );
}

function Others({ screen }: { screen: KeptScreen }) {
  const { others, truth, workshop } = screen.frame;
  if (others.length === 0) return null;
  const people = workshop?.people ?? [];
  return (
    <section class="stack tight">
      <h2>{say("others.title")}</h2>
      <ul>
        {others.map(({ job, by, device, at }) => (
          <li>
            <a href={jobPath(job)}>
              {say("others.line", {
                job: jobName(screen, job),
                who: people.find((each) => each.id === by)?.name ?? device,
                device,
                when: whenInWords(at, truth.clock),
              })}
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}

function About({ screen }: { screen: KeptScreen }) {
  const { facts, clock } = screen.frame.truth;
  const { storage, version, device } = screen;
  return (
    <section class="stack tight soft small">
      {device ? (
        <p>
          {facts.last_at
            ? say("kept.in-step", { when: whenInWords(facts.last_at, clock) })
            : say("kept.never-in-step")}
        </p>
      ) : null}
      {clockSentence(facts) ? <p>{clockSentence(facts)}</p> : null}
      {storage ? (
        <p>{say(storage === "protected" ? "kept.protected" : "kept.not-protected")}</p>
      ) : null}
      <p>{say("kept.version", { version, device: device || "–" })}</p>
    </section>
  );
}
