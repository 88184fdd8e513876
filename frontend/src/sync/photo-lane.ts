/* Photos travel beside the entries, in pieces that a cut cannot undo, each named by the hash of its content. */
import { findDevice, getSyncFacts, noteSync } from "../store/meta";
import { findUnsentPhoto, markPhotoRefused, markPhotoSent } from "../store/photos";
import type { PhotoRow } from "../store/schema";
import { yieldTurn } from "../store/turns";
import { say } from "../words/bench";
import { type Fetch, isPicture, reach, refuseBadStatus, refuseWhatIsNoPicture } from "./exchange";
import { describe, ServerTrouble } from "./problems";
import { fetchThumbs } from "./thumb-lane";

export type PhotoDeps = { fetch: Fetch; now: () => Date; changed: (jobs: string[]) => void };
export type PhotoOutcome = { ok: boolean; message: string; sent: number; fetched: number };

const CHUNK = 128 * 1024;
/** How often the server may name another place to go on from before this is called its trouble. */
const MOST_TURNS = 5;

export async function sendPhotos(deps: PhotoDeps): Promise<PhotoOutcome> {
  const device = await findDevice();
  const outcome: PhotoOutcome = { ok: true, message: "", sent: 0, fetched: 0 };
  if (!device) return outcome;
  try {
    outcome.sent = await sendAll(deps.fetch, device.token);
    outcome.fetched = await fetchThumbs(deps, device.token);
  } catch (error) {
    Object.assign(outcome, { ok: false, message: describe(error).message });
  }
  await noteMessage(outcome.message);
  return outcome;
}

async function noteMessage(message: string): Promise<void> {
  if ((await getSyncFacts()).photos_message !== message)
    await noteSync({ photos_message: message });
}

async function sendAll(fetcher: Fetch, token: string): Promise<number> {
  const looked = new Set<string>();
  for (;;) {
    const photo = await findUnsentPhoto(looked);
    if (!photo) return looked.size;
    looked.add(photo.sha256);
    await sendOne(fetcher, token, photo);
    await yieldTurn();
  }
}

async function sendOne(fetcher: Fetch, token: string, photo: PhotoRow): Promise<void> {
  try {
    await upload(fetcher, token, photo);
    await markPhotoSent(photo.sha256);
  } catch (error) {
    if (!(error instanceof ServerTrouble) || !isAboutThePhoto(error.status)) throw error;
    await markPhotoRefused(photo.sha256, { code: String(error.status), message: error.message });
  }
}

function isAboutThePhoto(status: number): boolean {
  return status >= 400 && status < 500 && ![404, 408, 409, 429].includes(status);
}

/** Asks how much the server has, then sends what follows, piece by piece. */
async function upload(fetcher: Fetch, token: string, photo: PhotoRow): Promise<void> {
  const length = photo.bytes.byteLength;
  let offset = await askOffset(fetcher, token, photo);
  let turns = 0;
  while (offset < length) {
    const next = await sendChunk(fetcher, token, photo, offset);
    if (next <= offset) turns += 1;
    if (turns > MOST_TURNS) throw new ServerTrouble(409, say("sync.photo-stuck"));
    offset = next;
    await yieldTurn();
  }
}

async function askOffset(fetcher: Fetch, token: string, photo: PhotoRow): Promise<number> {
  const headers = { Authorization: `Bearer ${token}` };
  const response = await reach(fetcher, `/api/photos/${photo.sha256}`, { method: "HEAD", headers });
  if (response.ok) {
    refuseWhatIsNoPicture(response);
    return photo.bytes.byteLength;
  }
  if (response.status !== 404) await refuseBadStatus(response);
  return offsetIn(response, photo) ?? 0;
}

async function sendChunk(
  fetcher: Fetch,
  token: string,
  photo: PhotoRow,
  offset: number,
): Promise<number> {
  const chunk = photo.bytes.slice(offset, offset + CHUNK);
  const response = await reach(fetcher, `/api/photos/${photo.sha256}`, {
    method: "PATCH",
    headers: {
      Authorization: `Bearer ${token}`,
      "Content-Type": "application/octet-stream",
      "Upload-Offset": String(offset),
      "Upload-Length": String(photo.bytes.byteLength),
    },
    body: chunk,
  });
  if (response.status !== 409) await refuseBadStatus(response);
  const told = offsetIn(response, photo);
  if (told === undefined) throw new ServerTrouble(response.status, say("sync.photo-stuck"));
  return told;
}

function offsetIn(response: Response, photo: PhotoRow): number | undefined {
  const text = response.headers.get("Upload-Offset");
  const offset = text === null ? Number.NaN : Number(text);
  const isPlace = Number.isInteger(offset) && offset >= 0 && offset <= photo.bytes.byteLength;
  return isPlace ? offset : undefined;
}

/** A photo that was taken on another phone. */
export async function fetchPhoto(fetcher: Fetch, sha256: string): Promise<ArrayBuffer | undefined> {
  const device = await findDevice();
  if (!device) return undefined;
  const headers = { Authorization: `Bearer ${device.token}` };
  const response = await reach(fetcher, `/api/photos/${sha256}`, { method: "GET", headers }).catch(
    () => undefined,
  );
  return response && isPicture(response) ? response.arrayBuffer() : undefined;
}
