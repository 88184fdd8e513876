/* Small pictures of others' photos are fetched while there is signal, so that they are here when there is none. */
import { StorageRefused } from "../store/database";
import {
  dropThumbsOfGone,
  keepThumb,
  listWantedThumbs,
  putOffThumb,
  type Wanted,
} from "../store/thumbs";
import { yieldTurn } from "../store/turns";
import { reach, refuseBadStatus, refuseWhatIsNoPicture } from "./exchange";
import type { PhotoDeps } from "./photo-lane";

const AT_ONCE = 50;
/** The photo's own phone may still have to send it. */
const LATER_MS = 5 * 60_000;

/** Returns how many came; the rest of a large number comes with the next runs. */
export async function fetchThumbs(deps: PhotoDeps, token: string): Promise<number> {
  await dropThumbsOfGone();
  const jobs = new Set<string>();
  let fetched = 0;
  try {
    for (const wanted of await listWantedThumbs(deps.now().getTime(), AT_ONCE)) {
      if (!(await fetchOne(deps, token, wanted))) continue;
      fetched += 1;
      jobs.add(wanted.job);
      await yieldTurn();
    }
  } catch (error) {
    // A full phone keeps its work and does without the pictures of others.
    if (!(error instanceof StorageRefused && error.full)) throw error;
  }
  if (jobs.size > 0) deps.changed([...jobs]);
  return fetched;
}

async function fetchOne(deps: PhotoDeps, token: string, wanted: Wanted): Promise<boolean> {
  const response = await reach(deps.fetch, `/api/photos/${wanted.sha256}?size=small`, {
    method: "GET",
    headers: { Authorization: `Bearer ${token}` },
  });
  if (response.status === 404 || response.status === 410) {
    await putOffThumb(wanted, deps.now().getTime() + LATER_MS);
    return false;
  }
  await refuseBadStatus(response);
  refuseWhatIsNoPicture(response);
  await keepThumb(wanted, await response.arrayBuffer());
  return true;
}
