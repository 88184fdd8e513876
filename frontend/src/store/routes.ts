/* Routes by the hash of their steps: shared by jobs, never changed once kept. */
import type { Step } from "../journal/route";
import type { RouteRow } from "./schema";

type Reading = {
  objectStore: (name: "routes") => { get: (sha256: string) => Promise<RouteRow | undefined> };
};

/** The steps a header names, in a transaction that is under way; nothing while they are still to be fetched. */
export async function findRoute(tx: Reading, sha256: string): Promise<Step[] | undefined> {
  return (await tx.objectStore("routes").get(sha256))?.steps;
}
