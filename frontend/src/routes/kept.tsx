/* What is kept on this phone: seen, sent, or saved as a file. */
import type { Hono } from "hono/tiny";
import { findDevice } from "../store/meta";
import { exportEntries, listKeptEntries } from "../store/outbox";
import { listRefusedPhotos } from "../store/photos";
import { listRefused } from "../store/refused";
import type { Person } from "../store/schema";
import type { JobView } from "../views/job-model";
import { KeptPage, type KeptScreen } from "../views/kept-page";
import type { BenchContext, BenchEnv } from "./deps";
import { loadFrame, loadJob } from "./load";
import { goTo, sendFile, showPage } from "./respond";

export function keptRoutes(app: Hono<BenchEnv>): void {
  app.get("/bench/kept", async (c) => showPage(KeptPage(await screenOf(c))));
  app.post("/bench/kept/send", async (c) => {
    await c.var.deps.syncer.sync({ force: true });
    return goTo(c, "/bench/kept");
  });
  app.get("/bench/kept/export", exportFile);
}

async function screenOf(c: BenchContext): Promise<KeptScreen> {
  const [frame, unsent, refused, refusedPhotos] = await Promise.all([
    loadFrame(c),
    listKeptEntries(),
    listRefused(),
    listRefusedPhotos(),
  ]);
  const ids = [...unsent, ...refused.map((row) => row.entry), ...refusedPhotos].map(
    (each) => each.job,
  );
  return {
    frame,
    unsent,
    refused,
    refusedPhotos,
    jobs: await jobsOf(ids, frame.workshop?.people ?? []),
    version: c.var.deps.version,
    device: (await findDevice())?.device ?? "",
  };
}

/** The jobs that something kept belongs to: only they can say it in words. */
async function jobsOf(ids: string[], people: Person[]): Promise<Map<string, JobView>> {
  const jobs = new Map<string, JobView>();
  for (const id of new Set(ids)) {
    const job = await loadJob(id, people);
    if (job) jobs.set(id, job);
  }
  return jobs;
}

async function exportFile(c: BenchContext): Promise<Response> {
  const device = await findDevice();
  const saved = {
    app: c.var.deps.version,
    device: device?.device,
    saved_at: c.var.deps.now().toISOString(),
  };
  const text = JSON.stringify({ ...saved, ...(await exportEntries()) }, null, 2);
  return sendFile(text, "shopfloor-kept.json");
}
