/* Which photos a page shows, and which of their pictures are on this phone. */
import type { PhotoBody, Row } from "../journal/state";
import { whichAreHere } from "../store/pictures";
import type { JobView } from "../views/job-model";
import type { StripProps } from "../views/photos";

export async function stripOf(job: JobView, photos: Row<PhotoBody>[]): Promise<StripProps> {
  const here = await whichAreHere(photos.flatMap(({ body }) => body.sha256 ?? []));
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
