/* Photos: the camera in one tap, what was taken, and one photo by itself. */
import type { PhotoBody, Row } from "../journal/state";
import { say, word } from "../words/bench";
import { Glyph } from "./glyph";
import { type JobView, nameOf, type StepView } from "./job-model";
import { type Frame, Layout } from "./layout";
import {
  jobPath,
  photoPagePath,
  photoPath,
  photoViewPath,
  smallPhotoPath,
  stepAnchor,
} from "./paths";
import { whenInWords } from "./words";

const PHASES = ["before", "after", "detail"] as const;
type PhotoPhase = (typeof PHASES)[number];

type Photo = Row<PhotoBody>;
/** Those of `photos` whose pictures are on this phone. */
export type StripProps = { job: JobView; photos: Photo[]; here: ReadonlySet<string> };

/** Always on the page where photos are taken: a new one comes into it at once. */
export function PhotoStrip({ job, photos, here }: StripProps) {
  return (
    <div id="photos" class="photos">
      {photos.map((photo) => (
        <PhotoInStrip job={job} photo={photo} here={here} />
      ))}
    </div>
  );
}

function captionOf({ body }: Photo): string {
  const phase = word("photo-phase", body.phase);
  return body.caption ? say("photo.caption", { phase, caption: body.caption }) : phase;
}

function PhotoInStrip({ job, photo, here }: Omit<StripProps, "photos"> & { photo: Photo }) {
  const { sha256 } = photo.body;
  if (!sha256) return <p class="soft">{say("photo.blanked")}</p>;
  return (
    <figure class="photo">
      <a href={photoViewPath(job.header.id, sha256)}>
        {here.has(sha256) ? (
          <Picture photo={photo} src={smallPhotoPath(sha256)} />
        ) : (
          <span class="photo-away">{say("photo.away", { name: nameOf(job, photo.by) })}</span>
        )}
      </a>
      <figcaption>{captionOf(photo)}</figcaption>
    </figure>
  );
}

function Picture({ photo, src }: { photo: Photo; src: string }) {
  const { caption, phase, width, height } = photo.body;
  const alt = caption || say("photo.alt", { phase: word("photo-phase", phase) });
  return <img src={src} alt={alt} {...(width && height ? { width, height } : {})} />;
}

type PageProps = StripProps & {
  frame: Frame;
  view: StepView | undefined;
  item: string;
  label: string;
};

export function PhotosPage({ frame, job, view, item, label, photos, here }: PageProps) {
  const id = job.header.id;
  return (
    <Layout
      frame={frame}
      title={say("photo.title")}
      back={{ href: view ? stepAnchor(id, view.step.key) : jobPath(id), word: job.header.number }}
      job={id}
      refresh={photoPagePath(id, view?.step.key, item)}
      foot={
        <div class="sticky lone cameras">
          {PHASES.map((phase) => (
            <Camera
              job={id}
              view={view}
              item={item}
              phase={phase}
              words={say(`photo-phase.${phase}`)}
            />
          ))}
        </div>
      }
    >
      <h1>{label}</h1>
      <p class="hint">{say("photo.hint")}</p>
      <PhotoStrip job={job} photos={photos} here={here} />
    </Layout>
  );
}

type PhotoPageProps = { frame: Frame; job: JobView; photo: Photo };

export function PhotoPage({ frame, job, photo }: PhotoPageProps) {
  const { sha256, step } = photo.body;
  const id = job.header.id;
  const title = job.steps.find((view) => view.step.key === step)?.step.title;
  return (
    <Layout
      frame={frame}
      title={say("photo.title")}
      back={{ href: photoPagePath(id), word: say("photo.heading") }}
      job={id}
    >
      <h1>{title ?? say("photo.title")}</h1>
      <figure class="photo">
        {sha256 ? <Picture photo={photo} src={photoPath(sha256)} /> : null}
        <figcaption>
          <p>{captionOf(photo)}</p>
          <p>
            {say("job.written", {
              name: nameOf(job, photo.by),
              when: whenInWords(photo.at, frame.truth.clock),
            })}
          </p>
        </figcaption>
      </figure>
      <p class="hint">{say("photo.full-hint")}</p>
    </Layout>
  );
}

/** Where the new photo is shown: among the newest of the job, among those of the step, or of the ask. */
export type Strip = "job" | "step" | "";

type CameraProps = {
  job: string;
  view: StepView | undefined;
  item: string;
  phase: string;
  words: string;
  strip?: Strip;
  /** As a part of the bar under the thumb. */
  inBar?: boolean;
  oob?: boolean | undefined;
};

export function Camera({ job, view, item, phase, words, strip, inBar, oob }: CameraProps) {
  const query = new URLSearchParams({
    phase,
    ...(view && { step: view.step.key }),
    ...(item && { item }),
    ...(strip && { strip }),
  });
  return (
    <label
      {...(inBar ? { id: "bar-camera" } : {})}
      class={inBar ? "sticky-button camera" : "button large camera"}
      for={`camera-${phase}`}
      {...(oob ? { "hx-swap-oob": "outerMorph" } : {})}
    >
      <Glyph name="camera" />
      {words}
      <input
        id={`camera-${phase}`}
        class="hidden-text"
        type="file"
        accept="image/*"
        capture="environment"
        data-photo-to={`${jobPath(job)}/photos?${query.toString()}`}
        data-photo-into="#photos"
      />
    </label>
  );
}

const BEFORE = new Set(["intake", "measure"]);
const AFTER = new Set(["final", "handover"]);

/** What a photo taken in this stage shows, so that nobody has to say it with gloves on. */
export function phaseIn(stage: string | undefined): PhotoPhase {
  if (stage === undefined || AFTER.has(stage)) return "after";
  return BEFORE.has(stage) ? "before" : "detail";
}
