/* Room on the phone: what the server has makes way first, and photos are refused long before entries. */
import { say } from "../words/bench";
import { StorageRefused } from "./database";
import { dropSentPhotos } from "./photos";
import { dropThumbs } from "./thumbs";

/** Kept free of photos: some 40,000 entries. */
const FOR_ENTRIES = 20 * 1024 * 1024;

/** Tries again while something can make way: first photos that were sent, then thumbnails. */
export async function withRoom<T>(work: () => Promise<T>): Promise<T> {
  for (const makeRoom of [dropSentPhotos, dropThumbs]) {
    try {
      return await work();
    } catch (error) {
      if (!(error instanceof StorageRefused && error.full)) throw error;
      await makeRoom();
    }
  }
  return work();
}

/** Asked before a photo is kept, so that the photo is refused and not the next entry. */
export async function askRoomForPhoto(bytes: number): Promise<void> {
  for (const makeRoom of [dropSentPhotos, dropThumbs]) {
    if (await hasRoom(bytes)) return;
    await makeRoom();
  }
  if (!(await hasRoom(bytes))) throw new StorageRefused(say("store.no-room-for-photo"), true);
}

/** A browser that does not say is taken to have room. */
async function hasRoom(bytes: number): Promise<boolean> {
  const storage = globalThis.navigator?.storage;
  const { quota, usage } = (await storage?.estimate?.().catch(() => undefined)) ?? {};
  if (quota === undefined || usage === undefined) return true;
  return quota - usage > bytes + FOR_ENTRIES;
}
