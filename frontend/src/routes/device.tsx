/* What the page tells the worker: that this phone is enrolled, that it is time to sync, and how sending stands. */
import type { Hono } from "hono/tiny";
import * as v from "valibot";
import { enrol } from "../store/enrolment";
import { countJobs } from "../store/jobs";
import { findDevice, getSyncFacts } from "../store/meta";
import { Handed } from "../sync/wire";
import { TruthLine } from "../views/truth";
import type { BenchContext, BenchEnv } from "./deps";
import { loadTruth } from "./load";
import { sayPlainly, sendJson, showFragment } from "./respond";

export function deviceRoutes(app: Hono<BenchEnv>): void {
  app.get("/bench/device", async () => {
    const facts = await getSyncFacts();
    return sendJson({
      enrolled: (await findDevice()) !== undefined,
      sign_in_again: facts.problem === "sign-in",
    });
  });
  app.post("/bench/device", takeDevice);
  app.post("/bench/sync", sync);
  app.get("/bench/truth", async (c) => showFragment(<TruthLine truth={await loadTruth(c)} />));
}

/** A form of another site cannot send JSON, so it cannot hand over a foreign token. */
async function takeDevice(c: BenchContext): Promise<Response> {
  if (!c.req.header("Content-Type")?.startsWith("application/json")) {
    return sayPlainly("This phone is made known by its own sign-in page only.", 400);
  }
  const parsed = v.safeParse(Handed, await c.req.raw.json().catch(() => null));
  if (!parsed.success)
    return sendJson(
      { message: "The server's answer to the sign-in could not be read. Try again." },
      400,
    );
  const { device, token, person, workshop: id, workshop_name: name, epoch } = parsed.output;
  await enrol({ device, token }, person ?? undefined, { id, name, epoch });
  return sendJson({ ok: true });
}

async function sync(c: BenchContext): Promise<Response> {
  const trigger = c.req.header("X-Trigger") ?? "";
  const outcome = await c.var.deps.syncer.sync({
    force: trigger === "" || trigger === "online",
    calm: true,
  });
  return sendJson({ ok: outcome.ok, message: outcome.message, jobs: await countJobs() });
}
