/* Bikes taken in on this phone: the job is here at once, and the server is told of it before its entries. */

import type { IDBPTransaction } from "idb";
import { v7 } from "uuid";
import type { Step } from "../journal/route";
import { edit, withDatabase } from "./database";
import { open } from "./opened";
import { broughtBack, OTHER_WORKSHOP, type Refusal, refusedAs, removed, settled } from "./refusal";
import type { BenchDatabase, HeaderRow, JobRow, WalkIn, WalkInDraft, WalkInRow } from "./schema";
import { summarise } from "./summary";
import { inFront } from "./turns";

/**
 * The job, its route and what the desk has to know, all or nothing; the form it came from is empty then.
 * Safe to repeat: only one that was refused is written anew, as it was mended.
 */
export async function keepWalkIn(
  walkIn: Omit<WalkIn, "steps">,
  header: HeaderRow,
  steps: Step[],
): Promise<void> {
  const { route, ...brief } = header;
  const fresh: JobRow = {
    id: header.id,
    brief,
    summary: summarise(open({ ...brief, route: steps }, [])),
    stale: false,
    house: 1,
  };
  const work = async (tx: Keeping) => {
    const [walkIns, jobs] = [tx.objectStore("walk_ins"), tx.objectStore("jobs")];
    const [known, job] = await Promise.all([walkIns.get(header.id), jobs.get(header.id)]);
    if (known && known.refused === undefined) return;
    await emptyForm(tx, header.id, known !== undefined);
    await walkIns.put({ ...walkIn, steps: null, id: header.id, unsent: 1, tag: 1 });
    await tx.objectStore("headers").put(header);
    await tx.objectStore("routes").put({ sha256: route, steps });
    await jobs.put(job ? { ...job, brief, stale: true } : fresh);
  };
  await inFront(() => edit(["walk_ins", "headers", "routes", "jobs", "meta"], work, "strict"));
}

type Keeping = IDBPTransaction<
  BenchDatabase,
  ("walk_ins" | "headers" | "routes" | "jobs" | "meta")[],
  "readwrite"
>;

/** Mending one must not cost what was half typed of another. */
async function emptyForm(tx: Keeping, job: string, mended: boolean): Promise<void> {
  const meta = tx.objectStore("meta");
  const draft = (await meta.get("walk_in")) as WalkInDraft | undefined;
  if (draft?.job !== job) return;
  if (mended && draft.before) await meta.put({ job: v7(), typed: draft.before }, "walk_in");
  else await meta.delete("walk_in");
}

export async function findWalkIn(id: string): Promise<WalkInRow | undefined> {
  return withDatabase((database) => database.get("walk_ins", id));
}

/** With their steps: the server may compose others, and then these are the ones that hold. */
export async function listUnsentWalkIns(): Promise<WalkInRow[]> {
  return withDatabase(async (database) => {
    const tx = database.transaction(["walk_ins", "routes"]);
    const rows = await tx.objectStore("walk_ins").index("unsent").getAll();
    const routes = await Promise.all(rows.map((row) => tx.objectStore("routes").get(row.route)));
    return rows.map((row, at) => ({ ...row, steps: routes[at]?.steps ?? null }));
  });
}

/** Taken by the server, with a number by now, while the tag still says the short code. */
export async function listOldTags(): Promise<WalkInRow[]> {
  const rows = await withDatabase((database) => database.getAllFromIndex("walk_ins", "tag"));
  return rows.filter(
    (row) => row.unsent === undefined && row.refused === undefined && row.removed === undefined,
  );
}

export async function listRefusedWalkIns(): Promise<WalkInRow[]> {
  return withDatabase((database) => database.getAllFromIndex("walk_ins", "refused"));
}

/** What a person took off the list of the refused. */
export async function listRemovedWalkIns(): Promise<WalkInRow[]> {
  const rows = await withDatabase((database) => database.getAll("walk_ins"));
  return rows.filter((row) => row.removed !== undefined);
}

async function change(id: string, how: (row: WalkInRow) => WalkInRow): Promise<void> {
  await edit(
    ["walk_ins"],
    async (tx) => {
      const row = await tx.objectStore("walk_ins").get(id);
      if (row) await tx.objectStore("walk_ins").put(how(row));
    },
    "strict",
  );
}

/** The number is shown at once; the rest of the desk's header comes with the next answer. */
export async function markWalkInSent(id: string, number: string): Promise<void> {
  await change(id, settled);
  await edit(["headers", "jobs"], async (tx) => {
    const [headers, jobs] = [tx.objectStore("headers"), tx.objectStore("jobs")];
    const [header, job] = await Promise.all([headers.get(id), jobs.get(id)]);
    if (header) await headers.put({ ...header, number });
    if (job?.brief) await jobs.put({ ...job, brief: { ...job.brief, number }, stale: true });
  });
}

export const markWalkInRefused = (id: string, refusal: Refusal): Promise<void> =>
  change(id, (row) => refusedAs(row, refusal));

export const markLabelled = (id: string): Promise<void> => change(id, ({ tag: _, ...row }) => row);

export const sendWalkInAgain = (id: string): Promise<void> =>
  change(id, (row) => (row.code === OTHER_WORKSHOP ? row : { ...settled(row), unsent: 1 }));

export const removeWalkIn = (id: string, at: string): Promise<void> =>
  change(id, (row) => removed(row, at));

export const bringWalkInBack = (id: string): Promise<void> => change(id, broughtBack);

/** The customer's name and number stay no longer than the bike: after that nothing has to be told again. */
export async function forgetCollected(): Promise<void> {
  await edit(["walk_ins", "jobs"], async (tx) => {
    const walkIns = tx.objectStore("walk_ins");
    for (const { id, unsent, refused, removed: off } of await walkIns.getAll()) {
      if (unsent !== undefined || refused !== undefined || off !== undefined) continue;
      const job = await tx.objectStore("jobs").get(id);
      if (job?.brief && job.house === undefined) await walkIns.delete(id);
    }
  });
}
