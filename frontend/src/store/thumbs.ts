/* Small pictures of what others photographed, for the jobs in the house. */
import { edit, withDatabase } from "./database";

export async function findThumb(sha256: string): Promise<ArrayBuffer | undefined> {
  const row = await withDatabase((database) => database.get("thumbs", sha256));
  return row?.bytes ?? undefined;
}

export type Wanted = { sha256: string; job: string };

/** What is not known yet is to be fetched at the next opportunity. */
export async function wantThumbs(wanted: Wanted[]): Promise<void> {
  if (wanted.length === 0) return;
  await edit(
    ["thumbs", "photos"],
    async (tx) => {
      const [thumbs, photos] = [tx.objectStore("thumbs"), tx.objectStore("photos")];
      await Promise.all(
        wanted.map(async ({ sha256, job }) => {
          const here = await Promise.all([thumbs.getKey(sha256), photos.getKey(sha256)]);
          if (here.every((key) => key === undefined))
            await thumbs.put({ sha256, job, bytes: null, wanted: 0 });
        }),
      );
    },
    "relaxed",
  );
}

const DAY_MS = 86_400_000;

/** Those whose time has come; a time far ahead was set by a clock that was wrong. */
export async function listWantedThumbs(now: number, most: number): Promise<Wanted[]> {
  return withDatabase(async (database) => {
    const wanted = database.transaction("thumbs").store.index("wanted");
    const [due, wrong] = await Promise.all([
      wanted.getAll(IDBKeyRange.upperBound(now), most),
      wanted.getAll(IDBKeyRange.lowerBound(now + DAY_MS), most),
    ]);
    return [...due, ...wrong].slice(0, most).map(({ sha256, job }) => ({ sha256, job }));
  });
}

export async function keepThumb({ sha256, job }: Wanted, bytes: ArrayBuffer): Promise<void> {
  await edit(
    ["thumbs"],
    async (tx) => {
      // What was cleared in the meantime stays cleared.
      if ((await tx.objectStore("thumbs").getKey(sha256)) === undefined) return;
      await tx.objectStore("thumbs").put({ sha256, job, bytes });
    },
    "relaxed",
  );
}

/** The server does not have it yet either. */
export async function putOffThumb({ sha256, job }: Wanted, until: number): Promise<void> {
  const row = { sha256, job, bytes: null, wanted: until };
  await edit(["thumbs"], (tx) => tx.objectStore("thumbs").put(row), "relaxed");
}

/** Makes room. Returns how many went. */
export async function dropThumbs(): Promise<number> {
  return edit(["thumbs"], async (tx) => {
    const count = await tx.objectStore("thumbs").count();
    await tx.objectStore("thumbs").clear();
    return count;
  });
}

/** The pictures of entries that the desk redacted; one that waits still goes, to be redacted there. */
export async function forgetPhotosOf(entries: string[]): Promise<void> {
  if (entries.length === 0) return;
  await edit(["entries", "thumbs", "photos"], async (tx) => {
    const photos = tx.objectStore("photos");
    for (const id of entries) {
      const sha256 = (await tx.objectStore("entries").get(id))?.entry.body.sha256;
      if (typeof sha256 !== "string") continue;
      await tx.objectStore("thumbs").delete(sha256);
      if ((await photos.get(sha256))?.unsent === undefined) await photos.delete(sha256);
    }
  });
}

/** Bikes that left the house need none. */
export async function dropThumbsOfGone(): Promise<void> {
  await edit(["thumbs", "jobs"], async (tx) => {
    const [jobs, byJob] = [tx.objectStore("jobs"), tx.objectStore("thumbs").index("job")];
    const gone: string[] = [];
    let thumb = await byJob.openKeyCursor(null, "nextunique");
    while (thumb) {
      const row = await jobs.get(thumb.key);
      if (row && row.house === undefined) gone.push(thumb.key);
      thumb = await thumb.continue();
    }
    for (const job of gone) {
      for (const key of await byJob.getAllKeys(job)) await tx.objectStore("thumbs").delete(key);
    }
  });
}
