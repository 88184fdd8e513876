/* Looking for a step, a job or a tag, all of it among what is on this phone; and fetching what is not. */
import { listJobs } from "../store/jobs";
import { FindJobPage, FindStepPage, FoundJobs, FoundSteps } from "../views/find-page";
import { jobPath, stepAnchor } from "../views/paths";
import { ScanPage } from "../views/scan-page";
import { findJobs, findSteps, jobOfNumber } from "../views/search";
import type { BenchContext } from "./deps";
import { type OnJob, onJob } from "./handlers";
import { loadFrame } from "./load";
import { formOf, textOf } from "./record";
import { goTo, ownPath, showFragment, showPage } from "./respond";
import type { Router } from "./router";

export function findRoutes(app: Router): void {
  app.get("/bench/scan", async (c) => showPage(<ScanPage frame={await loadFrame(c)} />));
  app.get("/bench/find", findJob);
  app.get("/bench/jobs/:job/find", onJob(findStep));
  app.post("/bench/fetch", fetchNow);
}

function wanted(c: BenchContext): { query: string; go: boolean; typing: boolean } {
  const query = (c.req.query("q") ?? "").trim();
  const typing = c.req.header("HX-Request") !== undefined;
  return { query, typing, go: !typing && c.req.query("go") !== undefined };
}

async function findJob(c: BenchContext): Promise<Response> {
  const { query, go, typing } = wanted(c);
  const [frame, jobs] = await Promise.all([loadFrame(c), listJobs()]);
  const found = findJobs(jobs, query);
  const only = jobOfNumber(jobs, query) ?? (found.length === 1 ? found[0] : undefined);
  if (go && only) return goTo(c, jobPath(only.header.id));
  if (typing) return showFragment(<FoundJobs frame={frame} query={query} found={found} />);
  return showPage(<FindJobPage frame={frame} query={query} found={found} />);
}

async function findStep(c: BenchContext, { frame, job }: OnJob): Promise<Response> {
  const { query, go, typing } = wanted(c);
  const found = findSteps(job.steps, query);
  const first = found[0];
  if (go && first) return goTo(c, stepAnchor(job.header.id, first.step.key));
  if (typing) return showFragment(<FoundSteps job={job} query={query} found={found} />);
  return showPage(<FindStepPage frame={frame} job={job} query={query} found={found} />);
}

/** Fetches and sends, then comes back to where something was missing. */
async function fetchNow(c: BenchContext): Promise<Response> {
  const form = await formOf(c);
  await c.var.deps.syncer.sync({ force: true });
  return goTo(c, ownPath(textOf(form, "back")));
}
