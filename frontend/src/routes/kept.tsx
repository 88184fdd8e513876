/* What is kept on this phone: seen, sent, sent again, taken off the list, or saved as a file. */
import { findDevice, findStorage } from "../store/meta";
import { exportEntries, listKeptEntries, listLost } from "../store/outbox";
import * as photos from "../store/photos";
import * as refused from "../store/refused";
import type { Person } from "../store/schema";
import * as walkIns from "../store/walk-ins";
import type { JobView } from "../views/job-model";
import { KeptPage, type KeptScreen } from "../views/kept-page";
import type { BenchContext } from "./deps";
import { loadFrame, loadJobInWords } from "./load";
import { refusedItems } from "./refused-items";
import { goTo, sendFile, showPage } from "./respond";
import type { Router } from "./router";

export function keptRoutes(app: Router): void {
  app.get("/bench/kept", async (c) => showPage(KeptPage(await screenOf(c))));
  app.post("/bench/kept/send", sendNow);
  app.get("/bench/kept/export", exportFile);
  app.post("/bench/kept/:what/:id/again", sendAgain);
  app.post("/bench/kept/:what/:id/off", takeOff);
  app.post("/bench/kept/:what/:id/back", bringBack);
}

async function screenOf(c: BenchContext): Promise<KeptScreen> {
  const [frame, unsent, unsentWalkIns, lost, storage, device, no] = await Promise.all([
    loadFrame(c),
    listKeptEntries(),
    walkIns.listUnsentWalkIns(),
    listLost(),
    findStorage(),
    findDevice(),
    readRefused(),
  ]);
  const about = [...unsent, ...lost, ...frame.others, ...no.photos, ...no.removedPhotos];
  const ids = [...about, ...[...no.entries, ...no.removed].map((row) => row.entry)];
  const jobs = await jobsOf(
    ids.map((each) => each.job),
    frame.workshop?.people ?? [],
  );
  return {
    frame,
    unsent,
    walkIns: unsentWalkIns,
    ...refusedItems(no, jobs),
    lost,
    jobs,
    storage,
    version: c.var.deps.version,
    device: device?.device.slice(0, 8) ?? "",
  };
}

async function readRefused() {
  const [entries, removed, refusedPhotos, removedPhotos, refusedWalkIns, removedWalkIns] =
    await Promise.all([
      refused.listRefused(),
      refused.listRemoved(),
      photos.listRefusedPhotos(),
      photos.listRemovedPhotos(),
      walkIns.listRefusedWalkIns(),
      walkIns.listRemovedWalkIns(),
    ]);
  return {
    entries,
    removed,
    photos: refusedPhotos,
    removedPhotos,
    walkIns: refusedWalkIns,
    removedWalkIns,
  };
}

/** The jobs that something kept belongs to: only they can say it in words. */
async function jobsOf(ids: string[], people: Person[]): Promise<Map<string, JobView>> {
  const jobs = new Map<string, JobView>();
  for (const id of new Set(ids)) {
    const job = await loadJobInWords(id, people);
    if (job) jobs.set(id, job);
  }
  return jobs;
}

async function sendNow(c: BenchContext): Promise<Response> {
  await c.var.deps.syncer.sync({ force: true });
  c.env.waitUntil?.(c.var.deps.syncer.photos({ force: true }));
  return goTo(c, "/bench/kept");
}

type Kind = {
  again: (id: string) => Promise<unknown>;
  off: (id: string, at: string) => Promise<void>;
  back: (id: string) => Promise<void>;
};

const KINDS: Record<string, Kind> = {
  entry: { again: refused.sendAgain, off: refused.takeOffList, back: refused.bringBack },
  photo: { again: photos.sendPhotoAgain, off: photos.removePhoto, back: photos.bringPhotoBack },
  "walk-in": {
    again: walkIns.sendWalkInAgain,
    off: walkIns.removeWalkIn,
    back: walkIns.bringWalkInBack,
  },
};

function named(c: BenchContext): { kind: Kind | undefined; id: string } {
  return { kind: KINDS[c.req.param("what") ?? ""], id: c.req.param("id") ?? "" };
}

async function sendAgain(c: BenchContext): Promise<Response> {
  const { kind, id } = named(c);
  const job = await kind?.again(id);
  if (typeof job === "string") c.var.deps.changed([job]);
  return sendNow(c);
}

async function takeOff(c: BenchContext): Promise<Response> {
  const { kind, id } = named(c);
  await kind?.off(id, c.var.deps.now().toISOString());
  return goTo(c, "/bench/kept#removed");
}

async function bringBack(c: BenchContext): Promise<Response> {
  const { kind, id } = named(c);
  await kind?.back(id);
  return goTo(c, "/bench/kept#refused");
}

async function exportFile(c: BenchContext): Promise<Response> {
  const device = await findDevice();
  const saved = {
    app: c.var.deps.version,
    device: device?.device,
    saved_at: c.var.deps.now().toISOString(),
  };
  const text = JSON.stringify({ ...saved, ...(await exportEntries()) }, asText, 2);
  return sendFile(text, "shopfloor-kept.json");
}

/** Photos as Base64, so that the file is text and whole. */
function asText(_key: string, value: unknown): unknown {
  if (!(value instanceof ArrayBuffer)) return value;
  const letters = Array.from(new Uint8Array(value), (byte) => String.fromCharCode(byte));
  return btoa(letters.join(""));
}
