/* Photos: the camera page of a job or of one ask, and the strip of what was taken. */
import type { PhotoBody, Row } from "../journal/state";
import { say, word } from "../words/bench";
import { Glyph } from "./glyph";
import type { JobView, StepView } from "./job-model";
import { type Frame, Layout } from "./layout";
import { jobPath, photoPath, stepAnchor } from "./paths";

const PHASES = ["before", "after", "detail"] as const;

export function PhotoStrip({ photos }: { photos: Row<PhotoBody>[] }) {
  return (
    <div id="photos" class="photos" aria-live="polite">
      {photos.map((photo) => (
        <Photo photo={photo} />
      ))}
    </div>
  );
}

function Photo({ photo }: { photo: Row<PhotoBody> }) {
  const { sha256, phase, caption, width, height } = photo.body;
  const words = word("photo-phase", phase);
  if (!sha256) return <p class="soft">{say("photo.blanked")}</p>;
  return (
    <figure class="photo">
      <a href={photoPath(sha256)}>
        <img
          src={photoPath(sha256)}
          alt={caption || say("photo.alt", { phase: words })}
          loading="lazy"
          {...(width && height ? { width, height } : {})}
        />
      </a>
      <figcaption>{caption ? say("photo.caption", { phase: words, caption }) : words}</figcaption>
    </figure>
  );
}

type PageProps = {
  frame: Frame;
  job: JobView;
  view: StepView | undefined;
  item: string;
  label: string;
};

export function PhotosPage({ frame, job, view, item, label }: PageProps) {
  const id = job.header.id;
  const photos =
    view && item
      ? job.state.photos.filter(
          (each) => each.body.step === view.step.key && each.body.item === item,
        )
      : job.state.photos;
  return (
    <Layout
      frame={frame}
      title={say("photo.title")}
      back={{ href: view ? stepAnchor(id, view.step.key) : jobPath(id), word: job.header.number }}
      job={id}
    >
      <h1>{label}</h1>
      <div class="cameras">
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
      <p class="hint">{say("photo.hint")}</p>
      <PhotoStrip photos={photos} />
    </Layout>
  );
}

type CameraProps = {
  job: string;
  view: StepView | undefined;
  item: string;
  phase: string;
  words: string;
};

export function Camera({ job, view, item, phase, words }: CameraProps) {
  const query = new URLSearchParams({
    phase,
    ...(view && { step: view.step.key }),
    ...(item && { item }),
  });
  return (
    <label class="button large camera" for={`camera-${phase}`}>
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
