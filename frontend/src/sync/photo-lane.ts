/* Photos travel after the entries, one at a time, each safe to repeat because it is named by its content. */
import { findDevice } from "../store/meta";
import { findUnsentPhoto, markPhotoRefused, markPhotoSent } from "../store/photos";
import { yieldTurn } from "../store/turns";
import { type Fetch, reach, refuseBadStatus, ServerTrouble } from "./exchange";

export async function sendPhotos(fetcher: Fetch): Promise<void> {
  const device = await findDevice();
  if (!device) return;
  const skip = new Set<string>();
  for (;;) {
    const photo = await findUnsentPhoto(skip);
    if (!photo) return;
    skip.add(photo.sha256);
    await sendOne(fetcher, device.token, photo);
    await yieldTurn();
  }
}

type Sendable = { sha256: string; mime: string; bytes: ArrayBuffer };

async function sendOne(fetcher: Fetch, token: string, photo: Sendable): Promise<void> {
  const response = await reach(fetcher, `/api/photos/${photo.sha256}`, {
    method: "PUT",
    headers: { Authorization: `Bearer ${token}`, "Content-Type": photo.mime },
    body: photo.bytes,
  });
  try {
    await refuseBadStatus(response);
    await markPhotoSent(photo.sha256);
  } catch (error) {
    if (!(error instanceof ServerTrouble) || !isAboutThePhoto(error.status)) throw error;
    await markPhotoRefused(photo.sha256, error.message);
  }
}

function isAboutThePhoto(status: number): boolean {
  return status >= 400 && status < 500 && status !== 408 && status !== 429;
}

/** A photo that was taken on another phone. */
export async function fetchPhoto(fetcher: Fetch, sha256: string): Promise<ArrayBuffer | undefined> {
  const device = await findDevice();
  if (!device) return undefined;
  const headers = { Authorization: `Bearer ${device.token}` };
  const response = await reach(fetcher, `/api/photos/${sha256}`, { method: "GET", headers }).catch(
    () => undefined,
  );
  return response?.ok ? response.arrayBuffer() : undefined;
}
