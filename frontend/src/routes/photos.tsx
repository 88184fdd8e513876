/* Photos: the camera page, keeping one as raw bytes, and showing one that is on this phone or at the server. */
import { sha256 as nameOf } from "../journal/digest";
import { findPhoto } from "../store/photos";
import { findThumb } from "../store/thumbs";
import { fetchPhoto } from "../sync/photo-lane";
import { findStep, type JobView } from "../views/job-model";
import { KeptChange } from "../views/kept-line";
import { PhotoPage, PhotoStrip, PhotosPage } from "../views/photos";
import { TruthLine } from "../views/truth";
import { say } from "../words/bench";
import type { BenchContext } from "./deps";
import { type OnJob, onJob, reloaded } from "./handlers";
import { loadTruth } from "./load";
import { recordPhoto } from "./record";
import { sayPlainly, sendBytes, showFragment, showPage } from "./respond";
import type { Router } from "./router";
import { newestPhotos, photosOf, stripOf } from "./strip";

const MOST_BYTES = 8_000_000;
const PHASES = new Set(["before", "after", "detail"]);
const SHA256 = /^[0-9a-f]{64}$/;
const JPEG = "image/jpeg";

export function photoRoutes(app: Router): void {
  app.get("/bench/jobs/:job/photos", onJob(camera));
  app.post("/bench/jobs/:job/photos", onJob(keep));
  app.get("/bench/jobs/:job/photos/:sha256", onJob(one));
  app.get("/bench/photos/:sha256", show);
}

function about(c: BenchContext, job: JobView) {
  const view = findStep(job, c.req.query("step") ?? "");
  const item = view ? (c.req.query("item") ?? "") : "";
  const ask = view?.step.asks.find((each) => each.item === item);
  return { view, item, label: ask?.label ?? view?.step.title ?? say("photo.heading") };
}

async function camera(c: BenchContext, { frame, job }: OnJob): Promise<Response> {
  const { view, item, label } = about(c, job);
  const strip = await stripOf(c, job, photosOf(job, view?.step.key, item));
  return showPage(<PhotosPage frame={frame} view={view} item={item} label={label} {...strip} />);
}

async function one(c: BenchContext, { frame, job }: OnJob): Promise<Response> {
  const photo = job.state.photos.find((each) => each.body.sha256 === c.req.param("sha256"));
  if (!photo) return sayPlainly(say("photo.no-name"), 410);
  return showPage(<PhotoPage frame={frame} job={job} photo={photo} />);
}

function refusal(c: BenchContext, bytes: ArrayBuffer, phase: string): string | undefined {
  if (!c.req.header("Content-Type")?.startsWith("image/")) return say("photo.no-picture");
  if (bytes.byteLength === 0) return say("photo.empty");
  if (bytes.byteLength > MOST_BYTES) return say("photo.too-large");
  if (!PHASES.has(phase)) return say("photo.no-phase");
  return undefined;
}

async function keep(c: BenchContext, on: OnJob): Promise<Response> {
  const bytes = await c.req.raw.arrayBuffer();
  const phase = c.req.query("phase") ?? "";
  const error = refusal(c, bytes, phase);
  if (error) return sayPlainly(error, 422);
  const { view, item } = about(c, on.job);
  const sha256 = await nameOf(bytes);
  const mime = c.req.header("Content-Type") ?? "image/jpeg";
  const caption = (c.req.query("caption") ?? "").trim();
  const entry = await recordPhoto(
    c,
    {
      job: on.job.header.id,
      kind: "photo",
      supersedes: [],
      body: {
        sha256,
        mime,
        width: Number(c.req.query("width") ?? 0),
        height: Number(c.req.query("height") ?? 0),
        bytes: bytes.byteLength,
        phase,
        ...(view && { step: view.step.key }),
        ...(item && { item }),
        ...(caption && { caption }),
      },
    },
    {
      sha256,
      mime,
      bytes,
      job: on.job.header.id,
      kept_at: c.var.deps.now().toISOString(),
      unsent: 1,
    },
  );
  const job = await reloaded(on);
  const whole = c.req.query("strip") === "job";
  const shown = whole ? newestPhotos(job) : photosOf(job, view?.step.key, item);
  return showFragment(
    <>
      <PhotoStrip {...(await stripOf(c, job, shown))} />
      <KeptChange job={job} entry={entry} at="#kept" />
      <TruthLine truth={await loadTruth(c)} oob />
    </>,
  );
}

async function show(c: BenchContext): Promise<Response> {
  const sha256 = c.req.param("sha256") ?? "";
  if (!SHA256.test(sha256)) return sayPlainly(say("photo.no-name"), 410);
  const kept = await findPhoto(sha256);
  if (kept) return sendBytes(kept.bytes, kept.mime);
  const small = await findThumb(sha256);
  if (small && c.req.query("size") === "small") return sendBytes(small, JPEG);
  const bytes = (await fetchPhoto(c.var.deps.fetch, sha256)) ?? small;
  return bytes ? sendBytes(bytes, JPEG) : sayPlainly(say("photo.not-here"), 410);
}
