/* Becoming a device of a workshop, taking another name, and giving up what the workshop takes back. */
import type { IDBPTransaction } from "idb";
import { say } from "../words/bench";
import { edit } from "./database";
import { factsIn, forgetDevice, NO_SYNC_YET } from "./meta";
import { OTHER_WORKSHOP, type Refusal, refusedAs, settled } from "./refusal";
import type { BenchDatabase, DeviceFacts, EntryRow, RefusedRow, WorkshopInfo } from "./schema";

const EVERYTHING = [
  "meta",
  "jobs",
  "headers",
  "routes",
  "entries",
  "photos",
  "refused",
  "walk_ins",
  "thumbs",
  "lost",
] as const;
type Everything = IDBPTransaction<BenchDatabase, [...typeof EVERYTHING], "readwrite">;

/** The workshop that the server says it is. */
export type Shop = {
  id?: string | undefined;
  name?: string | undefined;
  epoch?: string | undefined;
};

/**
 * A new identity starts its own count; entries keep the device they were written on. In another
 * workshop than before, what waits for the first is set aside and the rest of it is wiped.
 */
export async function enrol(
  facts: DeviceFacts,
  person: string | undefined,
  shop: Shop = {},
  former: string[] = [],
): Promise<void> {
  await edit(
    [...EVERYTHING],
    async (tx) => {
      const meta = tx.objectStore("meta");
      const home = (await meta.get("workshop_id")) as string | undefined;
      if (await isAnother(tx, shop)) {
        await setAllAside(tx, home);
        await wipe(tx);
        await meta.delete("workshop");
        await meta.put(NO_SYNC_YET, "sync");
      }
      if (shop.id) await meta.put(shop.id, "workshop_id");
      await takeHome(tx, shop.id);
      await rename(tx, facts);
      await rememberNames(tx, former);
      if (person) await meta.put(person, "person");
      const quiet = { problem: null, message: "", since: null };
      await meta.put({ ...(await factsIn(meta)), ...quiet }, "sync");
    },
    "strict",
  );
  await forgetDevice();
}

/** The server saw that this phone's data was copied to another: from here on it writes under a new name. */
export async function adoptDevice(device: DeviceFacts): Promise<void> {
  await edit([...EVERYTHING], (tx) => rename(tx, device), "strict");
  await forgetDevice();
}

const QUEUE_LENGTH = 2 ** 31;

async function rename(tx: Everything, device: DeviceFacts): Promise<void> {
  const meta = tx.objectStore("meta");
  const before = (await meta.get("device")) as DeviceFacts | undefined;
  await meta.put(device, "device");
  if (before?.device === device.device) return;
  await meta.put(0, "n");
  await rememberNames(tx, before ? [before.device] : []);
  // What was written under the older name goes first.
  for await (const cursor of tx.objectStore("entries").index("unsent"))
    await cursor.update({ ...cursor.value, unsent: cursor.key - QUEUE_LENGTH });
}

/** Whatever this phone was called, its entries are its own. */
async function rememberNames(tx: Everything, names: string[]): Promise<void> {
  const meta = tx.objectStore("meta");
  const known = ((await meta.get("former")) as string[] | undefined) ?? [];
  const device = (await meta.get("device")) as DeviceFacts | undefined;
  const all = new Set([...known, ...names]);
  all.delete(device?.device ?? "");
  await meta.put([...all], "former");
}

/** A phone of version 1 does not know its workshop's id: then its name or its epoch says it. */
async function isAnother(tx: Everything, shop: Shop): Promise<boolean> {
  const meta = tx.objectStore("meta");
  const home = (await meta.get("workshop_id")) as string | undefined;
  if (!shop.id) return false;
  if (home) return home !== shop.id;
  const workshop = (await meta.get("workshop")) as WorkshopInfo | undefined;
  if (!workshop) return false;
  const { epoch } = await factsIn(meta);
  return workshop.name !== shop.name && epoch !== (shop.epoch ?? "");
}

/** Nothing of it is ever sent to another workshop; it can be read and carried away. */
async function setAllAside(tx: Everything, home: string | undefined): Promise<void> {
  const refusal: Refusal = { code: OTHER_WORKSHOP, message: say("refused.other-workshop") };
  const owner = home === undefined ? {} : { workshop: home };
  for await (const cursor of tx.objectStore("entries").index("unsent")) {
    const { id, entry } = cursor.value;
    const row = { ...refusal, id, entry, refused_at: entry.at, listed: 1, ...owner };
    await tx.objectStore("refused").put(row);
    await cursor.delete();
  }
  for await (const cursor of tx.objectStore("photos").index("unsent"))
    await cursor.update({ ...refusedAs(cursor.value, refusal), ...owner });
  for await (const cursor of tx.objectStore("walk_ins").index("unsent"))
    await cursor.update({ ...refusedAs(cursor.value, refusal), ...owner });
}

/** Back in the workshop it was meant for, it waits for the server again. */
async function takeHome(tx: Everything, home: string | undefined): Promise<void> {
  if (home === undefined) return;
  const isOurs = (row: { code?: string; workshop?: string }) =>
    row.code === OTHER_WORKSHOP && row.workshop === home;
  for await (const cursor of tx.objectStore("refused").index("listed")) {
    if (!isOurs(cursor.value)) continue;
    await tx.objectStore("entries").put(queued(cursor.value));
    await cursor.delete();
  }
  for await (const cursor of tx.objectStore("photos").index("refused")) {
    if (isOurs(cursor.value))
      await cursor.update({ ...settled(cursor.value), unsent: Date.parse(cursor.value.kept_at) });
  }
  for await (const cursor of tx.objectStore("walk_ins").index("refused")) {
    if (isOurs(cursor.value)) await cursor.update({ ...settled(cursor.value), unsent: 1 });
  }
}

function queued({ entry }: RefusedRow): EntryRow {
  return { id: entry.id, job: entry.job, entry, own: true, unsent: entry.n };
}

/** The workshop took this phone's place back: only what nobody else has stays, until it is enrolled again. */
export async function wipeForRevoked(message: string, at: string): Promise<void> {
  await edit(
    [...EVERYTHING],
    async (tx) => {
      const meta = tx.objectStore("meta");
      const device = (await meta.get("device")) as DeviceFacts | undefined;
      await meta.delete("device");
      await rememberNames(tx, device ? [device.device] : []);
      await wipe(tx);
      await meta.put({ ...NO_SYNC_YET, problem: "revoked", message, since: at }, "sync");
    },
    "strict",
  );
  await forgetDevice();
}

/** Leaves what waits and what was refused, and of its jobs what is needed to say it in words. */
async function wipe(tx: Everything): Promise<void> {
  const unsent = await tx.objectStore("entries").index("unsent").getAll();
  await tx.objectStore("entries").clear();
  await Promise.all(unsent.map((row) => tx.objectStore("entries").put(row)));
  await keepWaiting(tx, "photos");
  await keepWaiting(tx, "walk_ins");
  await tx.objectStore("thumbs").clear();
  await tx.objectStore("lost").clear();
  for await (const cursor of tx.objectStore("refused")) {
    if (cursor.value.listed === undefined) await cursor.delete();
  }
  const kept = await keptJobs(tx, unsent);
  await keepOnly(tx, "headers", kept.jobs);
  await keepOnly(tx, "routes", new Set(kept.routes));
  await keepOnly(tx, "jobs", kept.jobs);
  for await (const cursor of tx.objectStore("jobs")) {
    const { house: _, ...row } = cursor.value;
    await cursor.update({ ...row, unknown: 1, stale: true });
  }
  await wipeFacts(tx, kept.people);
}

async function keepWaiting(tx: Everything, name: "photos" | "walk_ins"): Promise<void> {
  const store = tx.objectStore(name as "photos");
  const [waiting, refused] = await Promise.all([
    store.index("unsent").getAllKeys(),
    store.index("refused").getAllKeys(),
  ]);
  await keepOnly(tx, name, new Set([...waiting, ...refused]));
}

type Keyed = "photos" | "walk_ins" | "headers" | "routes" | "jobs";

async function keepOnly(tx: Everything, name: Keyed, keys: ReadonlySet<string>): Promise<void> {
  const store = tx.objectStore(name as "jobs");
  const all = await store.getAllKeys();
  await Promise.all(all.filter((key) => !keys.has(key)).map((key) => store.delete(key)));
}

type KeptJobs = { jobs: Set<string>; routes: string[]; people: Set<string> };

async function keptJobs(tx: Everything, unsent: EntryRow[]): Promise<KeptJobs> {
  const refused = await tx.objectStore("refused").getAll();
  const entries = [...unsent, ...refused].map((row) => row.entry);
  const jobs = new Set(entries.map((entry) => entry.job));
  const photos = tx.objectStore("photos").index("job");
  let photo = await photos.openKeyCursor(null, "nextunique");
  while (photo) {
    jobs.add(photo.key);
    photo = await photo.continue();
  }
  for (const id of await tx.objectStore("walk_ins").getAllKeys()) jobs.add(id);
  const headers = await Promise.all([...jobs].map((id) => tx.objectStore("headers").get(id)));
  return {
    jobs,
    routes: headers.flatMap((header) => header?.route ?? []),
    people: new Set(entries.map((entry) => entry.by)),
  };
}

async function wipeFacts(tx: Everything, people: ReadonlySet<string>): Promise<void> {
  const meta = tx.objectStore("meta");
  for (const key of ["person", "habits", "n", "open", "others", "catalogue", "workshop_digest"])
    await meta.delete(key as "person");
  const workshop = (await meta.get("workshop")) as WorkshopInfo | undefined;
  if (!workshop) return;
  const writers = workshop.people.filter((each) => people.has(each.id));
  await meta.put({ ...workshop, people: writers, instruments: [], tasks: [] }, "workshop");
}
