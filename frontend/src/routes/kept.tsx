/* What is kept on this phone: seen, sent, or saved as a file. */
import type { Hono } from "hono/tiny";
import { listJobs } from "../store/jobs";
import { findDevice } from "../store/meta";
import { exportEntries, listKeptEntries, listRefused } from "../store/outbox";
import { listRefusedPhotos } from "../store/photos";
import { KeptPage, type KeptScreen } from "../views/kept-page";
import type { BenchContext, BenchEnv } from "./deps";
import { loadFrame } from "./load";
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
  const jobs = await listJobs();
  return {
    frame: await loadFrame(c),
    unsent: await listKeptEntries(),
    refused: await listRefused(),
    refusedPhotos: await listRefusedPhotos(),
    numbers: Object.fromEntries(jobs.map(({ header }) => [header.id, header.number])),
    version: c.var.deps.version,
    device: (await findDevice())?.device ?? "",
  };
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
