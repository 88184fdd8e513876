/* What the page tells the worker: that this phone is enrolled, that it is time to sync, what is on the screen. */
import * as v from "valibot";
import { enrol } from "../store/enrolment";
import { countJobs } from "../store/jobs";
import {
  findDevice,
  findPerson,
  findWorkshop,
  getSyncFacts,
  listFormer,
  noteScreen,
} from "../store/meta";
import { countKept } from "../store/outbox";
import type { StorageState } from "../store/schema";
import type { Asked } from "../sync/lane";
import { Handed } from "../sync/wire";
import { TruthLine } from "../views/truth";
import { say } from "../words/bench";
import type { BenchContext } from "./deps";
import { loadTruth } from "./load";
import { isUuid } from "./record";
import { sayPlainly, sendJson, showFragment } from "./respond";
import type { Router } from "./router";

export function deviceRoutes(app: Router): void {
  app.get("/bench/device", async () => sendJson(await deviceState()));
  app.post("/bench/device", takeDevice);
  app.post("/bench/sync", sync);
  app.get("/bench/truth", async (c) => showFragment(<TruthLine truth={await loadTruth(c)} />));
}

/** For the page that makes this phone known: what it has been, and what waits on it. */
async function deviceState() {
  const [device, former, facts, workshop, kept] = await Promise.all([
    findDevice(),
    listFormer(),
    getSyncFacts(),
    findWorkshop(),
    countKept(),
  ]);
  return {
    enrolled: device !== undefined,
    sign_in_again: facts.problem === "sign-in",
    /** The desk signed this phone out: it must not make itself known again unasked. */
    revoked: facts.problem === "revoked",
    former: device ? [...former, device.device] : former,
    workshop_name: workshop?.name ?? "",
    kept,
  };
}

/** A form of another site cannot send JSON, so it cannot hand over a foreign token. */
async function takeDevice(c: BenchContext): Promise<Response> {
  if (!c.req.header("Content-Type")?.startsWith("application/json"))
    return sayPlainly(say("device.own-page-only"), 400);
  const parsed = v.safeParse(Handed, await c.req.raw.json().catch(() => null));
  if (!parsed.success) return sendJson({ message: say("device.unreadable") }, 400);
  const { device, token, person, workshop: id, workshop_name: name, epoch, former } = parsed.output;
  await c.var.deps.syncer.alone(() =>
    enrol({ device, token }, person ?? undefined, { id, name, epoch }, former),
  );
  return sendJson({ ok: true });
}

/** By what the page names as its reason; without one it was a person. */
const WISHES: Record<string, Asked> = { seen: { seen: true }, timer: { calm: true } };

async function sync(c: BenchContext): Promise<Response> {
  const { syncer } = c.var.deps;
  await noteWhatIsSeen(c);
  const wish = WISHES[c.req.header("X-Trigger") ?? ""] ?? { force: true };
  const outcome = await syncer.sync(wish);
  if (outcome.ok) c.env.waitUntil?.(syncer.photos(wish));
  return sendJson({ ok: outcome.ok, message: outcome.message, jobs: await countJobs() });
}

const STORAGE: readonly StorageState[] = ["protected", "not protected"];

/** The page says which job is on the screen and what the browser promised; other callers say nothing. */
async function noteWhatIsSeen(c: BenchContext): Promise<void> {
  const job = c.req.header("X-Open");
  if (job === undefined) return;
  const storage = STORAGE.find((each) => each === c.req.header("X-Storage")) ?? "";
  const by = (await findPerson()) || null;
  await noteScreen(isUuid(job) ? { job: job.toLowerCase(), by } : null, storage);
}
