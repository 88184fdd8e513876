/* Photos as plain bytes by the hash of their content; those the server has may make way for new ones. */
import { edit, withDatabase } from "./database";
import { broughtBack, OTHER_WORKSHOP, type Refusal, refusedAs, removed, settled } from "./refusal";
import type { PhotoRow } from "./schema";

export async function findPhoto(sha256: string): Promise<PhotoRow | undefined> {
  return withDatabase((database) => database.get("photos", sha256));
}

/** As it is kept before the server has it: the queue is in the order of taking. */
export function waitingPhoto(photo: PhotoRow): PhotoRow {
  return { ...photo, unsent: Date.parse(photo.kept_at) || 1 };
}

/** The newest photo first: it is the one somebody waits for. */
export async function findUnsentPhoto(skip: ReadonlySet<string>): Promise<PhotoRow | undefined> {
  const keys = await withDatabase((database) => database.getAllKeysFromIndex("photos", "unsent"));
  const key = keys.reverse().find((each) => !skip.has(each));
  return key === undefined ? undefined : findPhoto(key);
}

async function change(sha256: string, how: (row: PhotoRow) => PhotoRow): Promise<void> {
  await edit(["photos"], async (tx) => {
    const row = await tx.objectStore("photos").get(sha256);
    if (row) await tx.objectStore("photos").put(how(row));
  });
}

export const markPhotoSent = (sha256: string): Promise<void> => change(sha256, settled);

export const markPhotoRefused = (sha256: string, refusal: Refusal): Promise<void> =>
  change(sha256, (row) => refusedAs(row, refusal));

export const sendPhotoAgain = (sha256: string): Promise<void> =>
  change(sha256, (row) => (row.code === OTHER_WORKSHOP ? row : waitingPhoto(settled(row))));

export const removePhoto = (sha256: string, at: string): Promise<void> =>
  change(sha256, (row) => removed(row, at));

export const bringPhotoBack = (sha256: string): Promise<void> => change(sha256, broughtBack);

export type PhotoInList = Omit<PhotoRow, "bytes" | "mime">;

async function listByIndex(index: "refused" | "removed"): Promise<PhotoInList[]> {
  const rows = await withDatabase((database) => database.getAllFromIndex("photos", index));
  return rows.map(({ bytes: _, mime: __, ...row }) => row);
}

export const listRefusedPhotos = (): Promise<PhotoInList[]> => listByIndex("refused");
export const listRemovedPhotos = (): Promise<PhotoInList[]> => listByIndex("removed");

/** Makes room: photos the server has can be fetched again. Returns how many went. */
export async function dropSentPhotos(): Promise<number> {
  return edit(["photos"], async (tx) => {
    const store = tx.objectStore("photos");
    const kept = await Promise.all(
      (["unsent", "refused", "removed"] as const).map((name) => store.index(name).getAllKeys()),
    );
    const needed = new Set(kept.flat());
    const sent = (await store.getAllKeys()).filter((key) => !needed.has(key));
    await Promise.all(sent.map((key) => store.delete(key)));
    return sent.length;
  });
}
