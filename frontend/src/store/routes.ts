/* Routes by the hash of their steps: shared by jobs, never changed once kept. */
import type { Step } from "../journal/route";
import { edit, withDatabase } from "./database";
import type { RouteRow } from "./schema";

type Reading = {
  objectStore: (name: "routes") => { get: (sha256: string) => Promise<RouteRow | undefined> };
};

/** The steps a header names, in a transaction that is under way; nothing while they are still to be fetched. */
export async function findRoute(tx: Reading, sha256: string): Promise<Step[] | undefined> {
  return (await tx.objectStore("routes").get(sha256))?.steps;
}

/** Routes that headers name and that are still to be fetched. */
export async function listMissingRoutes(): Promise<string[]> {
  const rows = await withDatabase((database) => database.getAllFromIndex("jobs", "waits"));
  return [...new Set(rows.flatMap((row) => row.waits ?? []))];
}

/** Returns the jobs that can be shown now. */
export async function keepRoutes(rows: RouteRow[]): Promise<string[]> {
  return edit(
    ["routes", "jobs"],
    async (tx) => {
      const waiting = tx.objectStore("jobs").index("waits");
      await Promise.all(rows.map((row) => tx.objectStore("routes").put(row)));
      const jobs = (await Promise.all(rows.map((row) => waiting.getAll(row.sha256)))).flat();
      await Promise.all(
        jobs.map(({ waits: _, ...row }) => tx.objectStore("jobs").put({ ...row, stale: true })),
      );
      return jobs.map((row) => row.id);
    },
    "relaxed",
  );
}
