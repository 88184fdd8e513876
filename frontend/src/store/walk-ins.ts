/* Bikes taken in on this phone: the job is here at once, and the server is told of it before its entries. */
import type { Step } from "../journal/route";
import { edit, withDatabase } from "./database";
import { open } from "./opened";
import { broughtBack, OTHER_WORKSHOP, type Refusal, refusedAs, removed, settled } from "./refusal";
import type { HeaderRow, WalkIn, WalkInDraft, WalkInRow } from "./schema";
import { summarise } from "./summary";
import { inFront } from "./turns";

/**
 * The job, its route and what the desk has to know, all or nothing; the form it came from is empty then.
 * Safe to repeat with the same header.
 */
export async function keepWalkIn(
  walkIn: Omit<WalkIn, "steps">,
  header: HeaderRow,
  steps: Step[],
): Promise<void> {
  const { route, ...brief } = header;
  const summary = summarise(open({ ...brief, route: steps }, []));
  await inFront(() =>
    edit(
      ["walk_ins", "headers", "routes", "jobs", "meta"],
      async (tx) => {
        if (await tx.objectStore("walk_ins").get(header.id)) return;
        const draft = (await tx.objectStore("meta").get("walk_in")) as WalkInDraft | undefined;
        if (draft?.job === header.id) await tx.objectStore("meta").delete("walk_in");
        await tx.objectStore("walk_ins").put({ ...walkIn, steps: null, id: header.id, unsent: 1 });
        await tx.objectStore("headers").put(header);
        await tx.objectStore("routes").put({ sha256: route, steps });
        await tx.objectStore("jobs").put({ id: header.id, brief, summary, stale: false, house: 1 });
      },
      "strict",
    ),
  );
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

/** Taken by the server, with a number by now, while its tag still says the short code. */
export async function listOldTags(): Promise<WalkInRow[]> {
  const rows = await withDatabase((database) => database.getAll("walk_ins"));
  return rows.filter(
    ({ unsent, refused, removed: gone, labelled }) =>
      unsent === undefined && refused === undefined && gone === undefined && !labelled,
  );
}

export async function listRefusedWalkIns(): Promise<WalkInRow[]> {
  const rows = await withDatabase((database) => database.getAll("walk_ins"));
  return rows.filter((row) => row.refused !== undefined);
}

/** Jobs that the server does not know yet: their entries wait for them. */
export async function listJobsNotThere(): Promise<Set<string>> {
  const rows = await withDatabase((database) => database.getAll("walk_ins"));
  return new Set(
    rows
      .filter((row) => row.unsent !== undefined || row.refused !== undefined)
      .map((row) => row.id),
  );
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

export const markWalkInSent = (id: string): Promise<void> => change(id, settled);

export const markWalkInRefused = (id: string, refusal: Refusal): Promise<void> =>
  change(id, (row) => refusedAs(row, refusal));

export const markLabelled = (id: string): Promise<void> =>
  change(id, (row) => ({ ...row, labelled: 1 }));

export const sendWalkInAgain = (id: string): Promise<void> =>
  change(id, (row) => (row.code === OTHER_WORKSHOP ? row : { ...settled(row), unsent: 1 }));

export const removeWalkIn = (id: string, at: string): Promise<void> =>
  change(id, (row) => removed(row, at));

export const bringWalkInBack = (id: string): Promise<void> => change(id, broughtBack);
