/* Every address of the bench in one place. */

const enc = encodeURIComponent;

export const jobPath = (job: string): string => `/bench/jobs/${enc(job)}`;
export const stepPath = (job: string, step: string): string => `${jobPath(job)}/steps/${enc(step)}`;
/** With the id of an entry, the page says that it was kept. */
export const jobKeptPath = (job: string, entry: string): string => `${jobPath(job)}?kept=${entry}`;
export const stepAnchor = (job: string, step: string, entry = ""): string =>
  `${entry ? jobKeptPath(job, entry) : jobPath(job)}#step-${step}`;
export const askPath = (job: string, step: string, item: string): string =>
  `${stepPath(job, step)}/asks/${enc(item)}`;
export const askPhasePath = (
  job: string,
  step: string,
  item: string,
  phase: string,
  run = "",
): string => `${askPath(job, step, item)}?phase=${enc(phase)}${run ? `&run=${run}` : ""}`;
export const photoPagePath = (job: string, step = "", item = ""): string => {
  const query = new URLSearchParams({ ...(step && { step }), ...(item && { item }) }).toString();
  return `${jobPath(job)}/photos${query ? `?${query}` : ""}`;
};
export const torquePath = (job: string): string => `${jobPath(job)}/torque`;
export const findPath = (job: string): string => `${jobPath(job)}/find`;
export const handsPath = (job: string): string => `${jobPath(job)}/hands`;
export const photoPath = (sha256: string): string => `/bench/photos/${sha256}`;
export const smallPhotoPath = (sha256: string): string => `${photoPath(sha256)}?size=small`;
export const photoViewPath = (job: string, sha256: string): string =>
  `${jobPath(job)}/photos/${sha256}`;
export const WALK_IN = "/bench/walk-in";
export const walkInPath = (job: string): string => `${WALK_IN}/${enc(job)}`;
