/* What this phone keeps that the server has not taken, in the order it was written. */
import type { Entry } from "../journal/entry";
import { edit, putAll, withDatabase } from "./database";
import { factsIn, inEra } from "./meta";
import { OTHER_WORKSHOP } from "./refusal";
import type { EntryRow, Kept, LostRow, PhotoRow, RefusedRow, WalkInRow } from "./schema";

const NOTHING_HELD: ReadonlySet<string> = new Set();

/**
 * The next entries to send, without those held back for now by their ids, and those of walk-ins that the
 * server does not have yet: it would refuse them.
 */
export async function listUnsent(
  limit: number,
  held: ReadonlySet<string> = NOTHING_HELD,
): Promise<Entry[]> {
  return withDatabase(async (database) => {
    const tx = database.transaction(["entries", "walk_ins"]);
    const walkIns = tx.objectStore("walk_ins");
    const notThere = new Set(
      (
        await Promise.all([
          walkIns.index("unsent").getAllKeys(),
          walkIns.index("refused").getAllKeys(),
        ])
      ).flat(),
    );
    // How many entries a job has is not known: then all are looked at.
    const most = notThere.size === 0 ? limit + held.size : undefined;
    const rows = await tx.objectStore("entries").index("unsent").getAll(undefined, most);
    return rows
      .filter((row) => !held.has(row.id) && !notThere.has(row.job))
      .slice(0, limit)
      .map((row) => row.entry);
  });
}

/** The entries that wait, by id. */
export async function listUnsentIds(): Promise<Set<string>> {
  return withDatabase(async (database) => {
    const keys = await database.getAllKeysFromIndex("entries", "unsent");
    return new Set(keys);
  });
}

export async function countKept(): Promise<Kept> {
  return withDatabase(async (database) => {
    const tx = database.transaction(["entries", "photos", "walk_ins", "refused", "lost"]);
    const unsent = tx.objectStore("entries").index("unsent");
    const [photos, walkIns] = [tx.objectStore("photos"), tx.objectStore("walk_ins")];
    const [first, ...counts] = await Promise.all([
      unsent.get(IDBKeyRange.lowerBound(Number.NEGATIVE_INFINITY)),
      unsent.count(),
      photos.index("unsent").count(),
      walkIns.index("unsent").count(),
      photos.index("refused").count(),
      walkIns.index("refused").count(),
      tx.objectStore("refused").index("listed").count(),
      tx.objectStore("lost").count(),
    ]);
    const [entries, photosKept, walkInsKept, photosRefused, walkInsRefused, refused, lost] = counts;
    return {
      entries,
      photos: photosKept,
      walkIns: walkInsKept,
      refused: refused + photosRefused + walkInsRefused,
      lost,
      oldestAt: first?.entry.at ?? null,
    };
  });
}

export async function listKeptEntries(): Promise<Entry[]> {
  const rows = await withDatabase((database) => database.getAllFromIndex("entries", "unsent"));
  return rows.map((row) => row.entry);
}

const MOST_NUMBERS = 1000;

/** The numbers of what is shown as refused, by the name they were written under: the server need not wait for them. */
export async function listSetAside(): Promise<SetAside[]> {
  const rows = await withDatabase((database) => database.getAll("refused"));
  const numbers = new Map<string, number[]>();
  for (const { code, entry } of rows) {
    // What another workshop is to have it waits for rightly.
    if (code !== OTHER_WORKSHOP)
      numbers.set(entry.device, [...(numbers.get(entry.device) ?? []), entry.n]);
  }
  return [...numbers].map(([device, ns]) => ({ device, ns: ns.slice(0, MOST_NUMBERS) }));
}

/** What others wrote and a restored server does not have. */
export async function listLost(): Promise<LostRow[]> {
  return withDatabase((database) => database.getAll("lost"));
}

type Exported = {
  unsent: Entry[];
  refused: RefusedRow[];
  own: Entry[];
  walk_ins: WalkInRow[];
  photos: PhotoRow[];
  lost: LostRow[];
};

/** Everything this phone has written or been told, for a person to carry elsewhere. */
export async function exportEntries(): Promise<Exported> {
  return withDatabase(async (database) => {
    const own = (await database.getAll("entries")).filter((row) => row.own);
    const waiting = await database.getAllFromIndex("photos", "unsent");
    return {
      unsent: own.filter((row) => row.unsent !== undefined).map((row) => row.entry),
      refused: await database.getAll("refused"),
      own: own.map((row) => row.entry),
      walk_ins: await database.getAll("walk_ins"),
      photos: [...waiting, ...(await database.getAllFromIndex("photos", "refused"))],
      lost: await database.getAll("lost"),
    };
  });
}

/** Some of the numbers written under one name. */
export type SetAside = { device: string; ns: number[] };

/** Entries of a request at places `at` to `at + count - 1` have the server's numbers from `seq` on. */
export type Run = { at: number; count: number; seq: number };

/** The server has these now, under these numbers. */
export async function markTaken(batch: Entry[], runs: Run[]): Promise<void> {
  if (runs.length === 0) return;
  await edit(
    ["entries", "meta"],
    async (tx) => {
      const era = inEra(await factsIn(tx.objectStore("meta")));
      const rows = runs.flatMap(({ at, count, seq }) =>
        batch.slice(at, at + count).map((entry, step): EntryRow => {
          const { id, job } = entry;
          return { id, job, entry, own: true, seq: seq + step, ...era };
        }),
      );
      putAll(tx.objectStore("entries"), rows);
    },
    "relaxed",
  );
}
