/* Bikes taken in on this phone: the job is here at once, and the server is told of it before its entries. */
import type { Step } from "../journal/route";
import { edit, withDatabase } from "./database";
import { open } from "./opened";
import { type Refusal, refusedAs, settled } from "./refusal";
import type { HeaderRow, WalkIn, WalkInRow } from "./schema";
import { summarise } from "./summary";
import { inFront } from "./turns";

/** The job, its route and what the desk has to know, all or nothing. Safe to repeat with the same header. */
export async function keepWalkIn(walkIn: WalkIn, header: HeaderRow, steps: Step[]): Promise<void> {
  const { route, ...brief } = header;
  const summary = summarise(open({ ...brief, route: steps }, []));
  await inFront(() =>
    edit(
      ["walk_ins", "headers", "routes", "jobs"],
      async (tx) => {
        if (await tx.objectStore("walk_ins").get(header.id)) return;
        await tx.objectStore("walk_ins").put({ ...walkIn, id: header.id, unsent: 1 });
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

export async function listUnsentWalkIns(): Promise<WalkInRow[]> {
  return withDatabase((database) => database.getAllFromIndex("walk_ins", "unsent"));
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
  await edit(["walk_ins"], async (tx) => {
    const row = await tx.objectStore("walk_ins").get(id);
    if (row) await tx.objectStore("walk_ins").put(how(row));
  });
}

export const markWalkInSent = (id: string): Promise<void> => change(id, settled);

export const markWalkInRefused = (id: string, refusal: Refusal): Promise<void> =>
  change(id, (row) => refusedAs(row, refusal));

export const sendWalkInAgain = (id: string): Promise<void> =>
  change(id, (row) => ({ ...settled(row), unsent: 1 }));
