/* Takes entries back: at once from the line under the thumb, later from the list of what was written, with a reason. */
import { undoing } from "../journal/undo";
import { HistoryList, TakeBackForm } from "../views/history";
import { TruthLine } from "../views/truth";
import { say } from "../words/bench";
import type { BenchContext } from "./deps";
import { type OnJob, onJob, reloaded } from "./handlers";
import { loadTruth, withUnsent } from "./load";
import { formOf, record, seenIds, textOf } from "./record";
import { reload, sayPlainly, showFormAgain, showFragment } from "./respond";
import type { Router } from "./router";
import { changedStep } from "./steps";

export function undoRoutes(app: Router): void {
  app.post("/bench/jobs/:job/undo", onJob(undo));
  app.post("/bench/jobs/:job/void", onJob(takeBack));
}

/** The answer takes the place of the step where it stands on the page; elsewhere the page is drawn anew. */
async function undo(c: BenchContext, on: OnJob): Promise<Response> {
  const { job, me } = on;
  const id = textOf(await formOf(c), "entry");
  const entry = job.entries.find((each) => each.id === id);
  if (!entry || entry.by !== me) return sayPlainly(say("history.not-yours"), 409);
  const sayings = undoing(entry, job.entries, say("undo.reason"));
  if (sayings === null) return sayPlainly(say("undo.changed"), 409);
  for (const [nth, saying] of sayings.entries())
    await record(c, { job: job.header.id, ...saying }, nth);
  const { step } = entry.body;
  const inPlace = c.req.header("HX-Target")?.endsWith(`#step-${step}`);
  return inPlace ? changedStep(c, on, String(step)) : reload();
}

async function takeBack(c: BenchContext, on: OnJob): Promise<Response> {
  const form = await formOf(c);
  const [id] = seenIds(textOf(form, "entry"));
  const reason = textOf(form, "reason");
  const entry = on.job.entries.find((each) => each.id === id);
  if (!entry || entry.by !== on.me) return sayPlainly(say("history.not-yours"), 409);
  if (reason === "") {
    const error = say("history.say-why");
    return showFormAgain(
      <TakeBackForm job={on.job.header.id} id={entry.id} reason="" open error={error} />,
    );
  }
  await record(c, {
    job: on.job.header.id,
    kind: "void",
    body: { reason },
    supersedes: [entry.id],
  });
  return showWritten(c, on, typeof entry.body.step === "string" ? entry.body.step : undefined);
}

/** The list it was taken back in: of one step or of the whole job. */
async function showWritten(
  c: BenchContext,
  on: OnJob,
  step: string | undefined,
): Promise<Response> {
  const job = await withUnsent(await reloaded(on));
  const truth = await loadTruth(c);
  const wholeJob = c.req.header("HX-Current-URL")?.endsWith("/history") ?? false;
  const list = (
    <HistoryList
      job={job}
      clock={truth.clock}
      me={on.me}
      {...(step && !wholeJob ? { step } : {})}
    />
  );
  const response = await showFragment(
    <>
      {list}
      <TruthLine truth={truth} oob />
    </>,
  );
  response.headers.set("HX-Retarget", "#history");
  return response;
}
