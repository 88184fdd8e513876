/* Photos as plain bytes by the hash of their content; those the server has may make way for new ones. */
import { edit, withDatabase } from "./database";
import type { PhotoRow } from "./schema";

export async function findPhoto(sha256: string): Promise<PhotoRow | undefined> {
  return withDatabase((database) => database.get("photos", sha256));
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

function settled({ unsent: _, ...row }: PhotoRow): PhotoRow {
  return row;
}

export const markPhotoSent = (sha256: string): Promise<void> => change(sha256, settled);

export const markPhotoRefused = (sha256: string, message: string): Promise<void> =>
  change(sha256, (row) => ({ ...settled(row), refused: message }));

export async function listRefusedPhotos(): Promise<
  Array<Pick<PhotoRow, "sha256" | "job" | "refused">>
> {
  const rows = await withDatabase((database) => database.getAll("photos"));
  return rows
    .filter((row) => row.refused !== undefined)
    .map(({ sha256, job, refused }) => ({ sha256, job, ...(refused && { refused }) }));
}

/** Makes room: photos the server has can be fetched again. Returns how many went. */
export async function dropSentPhotos(): Promise<number> {
  return edit(["photos"], async (tx) => {
    let dropped = 0;
    for await (const cursor of tx.objectStore("photos")) {
      if (cursor.value.unsent !== undefined || cursor.value.refused !== undefined) continue;
      await cursor.delete();
      dropped += 1;
    }
    return dropped;
  });
}
