/* The server on the phone: which address is answered by which route. Knows no worker; runs in tests as it is. */
import { asksRoutes } from "./routes/asks";
import type { BenchContext, Deps } from "./routes/deps";
import { deviceRoutes } from "./routes/device";
import { findRoutes } from "./routes/find";
import { handsRoutes } from "./routes/hands";
import { jobRoutes } from "./routes/jobs";
import { keptRoutes } from "./routes/kept";
import { loadFrame } from "./routes/load";
import { personRoutes } from "./routes/person";
import { photoRoutes } from "./routes/photos";
import { sentenceFor } from "./routes/record";
import { sayPlainly, showMissingPage, showPage } from "./routes/respond";
import { Router } from "./routes/router";
import { stepRoutes } from "./routes/steps";
import { torqueRoutes } from "./routes/torque";
import { undoRoutes } from "./routes/undo";
import { walkInRoutes } from "./routes/walk-in";
import { writingRoutes } from "./routes/writing";
import { findDevice } from "./store/meta";
import { MissingPage } from "./views/missing";
import { TroublePage } from "./views/trouble";
import { say } from "./words/bench";

/** What the server answers although it lies under /bench/. */
const SERVERS = new Set(["/bench/enrol", "/bench/worker.js"]);
/** What must work before this phone is known to the workshop. */
const BEFORE_ENROLMENT = new Set([
  "/bench/device",
  "/bench/sync",
  "/bench/truth",
  "/bench/kept",
  "/bench/kept/export",
]);

const NOT_OURS = () => new Response(null, { status: 404 });

export function createApp(deps: Deps): Router {
  const app = new Router(deps, { guard, missing, failed: explain });
  jobRoutes(app);
  findRoutes(app);
  stepRoutes(app);
  torqueRoutes(app);
  undoRoutes(app);
  handsRoutes(app);
  asksRoutes(app);
  writingRoutes(app);
  walkInRoutes(app);
  photoRoutes(app);
  personRoutes(app);
  keptRoutes(app);
  deviceRoutes(app);
  return app;
}

async function guard(path: string): Promise<Response | undefined> {
  if (SERVERS.has(path)) return NOT_OURS();
  return BEFORE_ENROLMENT.has(path) || (await findDevice()) ? undefined : NOT_OURS();
}

async function missing(c: BenchContext): Promise<Response> {
  const frame = await loadFrame(c);
  return showMissingPage(<MissingPage frame={frame} what={say("missing.page")} />);
}

const FULL_OR_STUCK = 507;

/** Expected refusals say their sentence; the rest says that nothing was lost, and is told to whoever debugs. */
function explain(error: Error, c: BenchContext): Response | Promise<Response> {
  const sentence = sentenceFor(error);
  if (sentence === undefined) reportError(error);
  const status = sentence === undefined ? 500 : FULL_OR_STUCK;
  const told = sentence ?? say("trouble.unexpected");
  if (c.req.header("HX-Request") || c.req.method !== "GET") return sayPlainly(told, status);
  return showPage(<TroublePage assets={c.var.deps.assets} sentence={told} />, status);
}
