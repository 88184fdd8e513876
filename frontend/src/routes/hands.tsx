/* Hands on and off a bike, now or as somebody remembers it; and the answer that they are still on. */
import { openStints } from "../journal/hands";
import { noteStill } from "../store/hands";
import type { RunningHands } from "../store/schema";
import { HandsButton, HandsLine } from "../views/hands";
import { doubtOf, timeAfter } from "../views/hands-model";
import { HandsForm, HandsPage } from "../views/hands-page";
import { KeptChange } from "../views/kept-line";
import { handsPath, jobPath } from "../views/paths";
import { TruthLine } from "../views/truth";
import { say } from "../words/bench";
import type { BenchContext } from "./deps";
import { type OnJob, onJob, reloaded } from "./handlers";
import { loadFrame } from "./load";
import { formOf, record, textOf } from "./record";
import { goTo, sayPlainly, showFormAgain, showFragment, showPage } from "./respond";
import type { Router } from "./router";

export function handsRoutes(app: Router): void {
  app.get("/bench/hands", async (c) => showFragment(<HandsLine frame={await loadFrame(c)} />));
  app.get(
    "/bench/jobs/:job/hands",
    onJob(async (_, on) =>
      showPage(<HandsPage frame={on.frame} job={on.job} all={runningOn(on)} />),
    ),
  );
  app.post("/bench/jobs/:job/hands", onJob(change));
}

/** Everybody's hands on this bike; what was said on this phone is known of one's own alone. */
function runningOn({ job, frame }: OnJob): RunningHands[] {
  return openStints(job.entries, job.state.hands).map((each) => {
    const own = frame.hands.find((known) => known.id === each.id);
    return { ...each, job: job.header.id, number: job.header.number, still: own?.still ?? "" };
  });
}

async function change(c: BenchContext, on: OnJob): Promise<Response> {
  const form = await formOf(c);
  const job = on.job.header.id;
  if (textOf(form, "on"))
    return kept(c, on, await record(c, { job, kind: "hands-on", body: {}, supersedes: [] }));
  const hands = runningOn(on).find((each) => each.id === textOf(form, "hands"));
  if (!hands) return sayPlainly(say("hands.off-already"), 409);
  if (textOf(form, "still")) {
    await noteStill(hands.id, c.var.deps.now().toISOString());
    return showFragment(<HandsLine frame={await loadFrame(c)} />);
  }
  return takeOff(c, on, hands, form);
}

async function takeOff(
  c: BenchContext,
  on: OnJob,
  hands: RunningHands,
  form: FormData,
): Promise<Response> {
  const { clock } = on.frame.truth;
  if (textOf(form, "off") && doubtOf(hands, clock, on.frame.hours))
    return goTo(c, handsPath(on.job.header.id));
  const until = textOf(form, "off") || textOf(form, "now") ? null : endOf(form, hands, on);
  if (until === undefined) {
    const error = say("hands.no-time", { time: textOf(form, "time") });
    return showFormAgain(<HandsForm frame={on.frame} job={on.job} hands={hands} error={error} />);
  }
  const entry = await record(c, {
    job: on.job.header.id,
    kind: "hands-off",
    body: { on: hands.id, ...(until && { until }) },
    supersedes: [],
  });
  return kept(c, on, entry);
}

/** The end that was chosen or typed; undefined when hands cannot have come off then. */
function endOf(form: FormData, hands: RunningHands, { frame }: OnJob): string | undefined {
  const { clock } = frame.truth;
  const chosen = Date.parse(textOf(form, "until"));
  if (Number.isNaN(chosen)) return timeAfter(hands.at, textOf(form, "time"), clock)?.toISOString();
  const possible = chosen >= Date.parse(hands.at) && chosen <= clock.now.getTime();
  return possible ? new Date(chosen).toISOString() : undefined;
}

type Kept = Awaited<ReturnType<typeof record>>;

async function kept(c: BenchContext, on: OnJob, entry: Kept): Promise<Response> {
  if (c.req.header("HX-Current-URL")?.endsWith("/hands"))
    return goTo(c, `${jobPath(on.job.header.id)}?kept=${entry.id}`);
  const [frame, job] = await Promise.all([loadFrame(c), reloaded(on)]);
  const inLine = c.req.header("HX-Target")?.endsWith("#hands-line");
  return showFragment(
    <>
      {inLine ? <HandsLine frame={frame} /> : <HandsButton job={job} me={on.me} />}
      {inLine ? null : <HandsLine frame={frame} oob />}
      <KeptChange job={job} entry={entry} at="#kept" />
      <TruthLine truth={frame.truth} oob />
    </>,
  );
}
