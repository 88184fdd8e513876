/* How the phone's database came to be, version by version. What was released is never changed: phones of every age pass through it. */
import type { IDBPDatabase, IDBPTransaction, StoreNames } from "idb";
import type { Step } from "../journal/route";
import { type BenchDatabase, type DeviceFacts, GONE } from "./schema";

type Upgrading = IDBPTransaction<BenchDatabase, StoreNames<BenchDatabase>[], "versionchange">;

export function upgrade(
  database: IDBPDatabase<BenchDatabase>,
  from: number,
  _to: number | null,
  tx: Upgrading,
): void {
  if (from < 1) {
    database.createObjectStore("meta");
    database.createObjectStore("jobs", { keyPath: "id" });
    database.createObjectStore("headers", { keyPath: "id" });
    const entries = database.createObjectStore("entries", { keyPath: "id" });
    entries.createIndex("job", "job");
    entries.createIndex("unsent", "unsent");
    const photos = database.createObjectStore("photos", { keyPath: "sha256" });
    photos.createIndex("unsent", "unsent");
    photos.createIndex("job", "job");
    database.createObjectStore("refused", { keyPath: "id" });
  }
  if (from < 2) {
    database.createObjectStore("routes", { keyPath: "sha256" });
    const walkIns = database.createObjectStore("walk_ins", { keyPath: "id" });
    walkIns.createIndex("unsent", "unsent");
    walkIns.createIndex("refused", "refused");
    walkIns.createIndex("tag", "tag");
    const thumbs = database.createObjectStore("thumbs", { keyPath: "sha256" });
    thumbs.createIndex("job", "job");
    thumbs.createIndex("wanted", "wanted");
    database.createObjectStore("lost", { keyPath: "id" }).createIndex("job", "job");
    tx.objectStore("jobs").createIndex("house", "house");
    tx.objectStore("jobs").createIndex("waits", "waits");
    tx.objectStore("photos").createIndex("refused", "refused");
    tx.objectStore("photos").createIndex("removed", "removed");
    tx.objectStore("refused").createIndex("listed", "listed");
    // An error in there aborts the upgrade: all stays as it was.
    if (from === 1) void bringFromVersion1(tx);
  }
}

async function bringFromVersion1(tx: Upgrading): Promise<void> {
  await moveRoutesOut(tx);
  await rememberNames(tx);
  for await (const cursor of tx.objectStore("jobs")) {
    if (!GONE.has(cursor.value.summary?.place ?? ""))
      await cursor.update({ ...cursor.value, house: 1 });
  }
  for await (const cursor of tx.objectStore("refused"))
    await cursor.update({ ...cursor.value, listed: 1 });
}

/** Version 1 kept each job's route inside its header. */
async function moveRoutesOut(tx: Upgrading): Promise<void> {
  for await (const cursor of tx.objectStore("headers")) {
    const steps = cursor.value.route as unknown as Step[];
    const sha256 = `v1:${cursor.value.id}`;
    await tx.objectStore("routes").put({ sha256, steps });
    await cursor.update({ ...cursor.value, route: sha256 });
  }
}

/** Version 1 knew only the name that it wrote under last. */
async function rememberNames(tx: Upgrading): Promise<void> {
  const names = new Set<string>();
  for await (const { value } of tx.objectStore("entries")) {
    if (value.own) names.add(value.entry.device);
  }
  const device = (await tx.objectStore("meta").get("device")) as DeviceFacts | undefined;
  names.delete(device?.device ?? "");
  await tx.objectStore("meta").put([...names], "former");
}
