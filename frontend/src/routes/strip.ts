/* Which photos a page shows, and which of their pictures are on this phone. */
import type { PhotoBody, Row } from "../journal/state";
import { whichAreHere } from "../store/pictures";
import { wantThumbs } from "../store/thumbs";
import type { JobView } from "../views/job-model";
import type { StripProps } from "../views/photos";
import type { BenchContext } from "./deps";

/** What is shown and not here is wanted; it comes while the page is open, if there is a connection. */
export async function stripOf(
  c: BenchContext,
  job: JobView,
  photos: Row<PhotoBody>[],
): Promise<StripProps> {
  const names = photos.flatMap(({ body }) => body.sha256 ?? []);
  const here = await whichAreHere(names);
  const missing = names.filter((name) => !here.has(name));
  if (missing.length > 0) {
    await wantThumbs(missing.map((sha256) => ({ sha256, job: job.header.id })));
    c.env?.waitUntil?.(c.var.deps.syncer.photos());
  }
  return { job, photos, here };
}

const NEWEST = 4;

export const newestPhotos = (job: JobView): Row<PhotoBody>[] => job.state.photos.slice(-NEWEST);

/** Of one ask, of one step, or of the whole job. */
export function photosOf(job: JobView, step?: string, item?: string): Row<PhotoBody>[] {
  return job.state.photos.filter(
    ({ body }) => (!step || body.step === step) && (!item || body.item === item),
  );
}
