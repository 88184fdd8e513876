/* The phone's few facts about itself: device, person at work, cursor, habits, what is on the screen. */
import type { Catalogue } from "../trade/catalogue";
import { type Database, edit, withDatabase } from "./database";
import type {
  DeviceFacts,
  MetaValues,
  OpenJob,
  OtherPhone,
  StorageState,
  SyncFacts,
  WorkshopInfo,
} from "./schema";

export const NO_SYNC_YET: SyncFacts = {
  cursor: 0,
  epoch: null,
  problem: null,
  message: "",
  since: null,
  last_at: null,
  clock_offset_ms: 0,
  era: 0,
  restoring: false,
  photos_message: "",
};

async function read<K extends keyof MetaValues>(key: K): Promise<MetaValues[K] | undefined> {
  return withDatabase(
    async (database) => (await database.get("meta", key)) as MetaValues[K] | undefined,
  );
}

async function write<K extends keyof MetaValues>(key: K, value: MetaValues[K]): Promise<void> {
  await withDatabase(async (database) => {
    await database.put("meta", value, key);
  });
}

/** Asked for at every request; it changes only here. */
const devices = new WeakMap<Database, DeviceFacts>();

export async function findDevice(): Promise<DeviceFacts | undefined> {
  return withDatabase(async (database) => {
    const known = devices.get(database);
    if (known) return known;
    const found = (await database.get("meta", "device")) as DeviceFacts | undefined;
    if (found) devices.set(database, found);
    return found;
  });
}

/** To be called by whoever gave this phone another name or took it away. */
export async function forgetDevice(): Promise<void> {
  await withDatabase(async (database) => {
    devices.delete(database);
  });
}

export const findPerson = (): Promise<string | undefined> => read("person");
export const setPerson = (person: string): Promise<void> => write("person", person);
export const findWorkshop = (): Promise<WorkshopInfo | undefined> => read("workshop");
export const findCatalogue = (): Promise<Catalogue | undefined> => read("catalogue");
export const keepCatalogue = (data: Catalogue): Promise<void> => write("catalogue", data);
export const listOthers = async (): Promise<OtherPhone[]> => (await read("others")) ?? [];
export const findStorage = async (): Promise<StorageState> => (await read("storage")) ?? "";
export const listFormer = async (): Promise<string[]> => (await read("former")) ?? [];

/** What is on the screen, and whether the browser promised to keep the storage; written when it changed. */
export async function noteScreen(open: OpenJob | null, storage: StorageState): Promise<void> {
  const known = await withDatabase((database) => {
    const meta = database.transaction("meta").store;
    return Promise.all([meta.get("open"), meta.get("storage")]);
  });
  if (JSON.stringify(known) === JSON.stringify([open, storage])) return;
  await edit(["meta"], async (tx) => {
    await tx.objectStore("meta").put(open, "open");
    await tx.objectStore("meta").put(storage, "storage");
  });
}

export async function getSyncFacts(): Promise<SyncFacts> {
  return { ...NO_SYNC_YET, ...(await read("sync")) };
}

type MetaStore = { get: (key: "sync") => Promise<unknown> };

/** The facts as a running transaction sees them. */
export async function factsIn(store: MetaStore): Promise<SyncFacts> {
  return { ...NO_SYNC_YET, ...((await store.get("sync")) as SyncFacts | undefined) };
}

/** The mark of everything that came in this life of the server; the first life has none. */
export function inEra({ era }: SyncFacts): { era?: number } {
  return era > 0 ? { era } : {};
}

export type FrameFacts = {
  workshop: WorkshopInfo | undefined;
  person: string;
  facts: SyncFacts;
  others: OtherPhone[];
};

/** What every page shows, in one look. */
export async function readFrameFacts(): Promise<FrameFacts> {
  return withDatabase(async (database) => {
    const meta = database.transaction("meta").store;
    const [workshop, person, facts, others] = await Promise.all([
      meta.get("workshop") as Promise<WorkshopInfo | undefined>,
      meta.get("person") as Promise<string | undefined>,
      factsIn(meta),
      meta.get("others") as Promise<OtherPhone[] | undefined>,
    ]);
    return { workshop, person: person ?? "", facts, others: others ?? [] };
  });
}

/** Only the fields that say how sending goes; the cursor moves with the entries it counts. */
export async function noteSync(
  change: Partial<Omit<SyncFacts, "cursor" | "epoch">>,
): Promise<void> {
  await edit(
    ["meta"],
    async (tx) => {
      const meta = tx.objectStore("meta");
      await meta.put({ ...(await factsIn(meta)), ...change }, "sync");
    },
    "relaxed",
  );
}

export async function getHabits(): Promise<Record<string, string>> {
  return (await read("habits")) ?? {};
}

export async function rememberHabits(change: Record<string, string>): Promise<void> {
  await edit(["meta"], async (tx) => {
    const meta = tx.objectStore("meta");
    const habits = (await meta.get("habits")) as Record<string, string> | undefined;
    await meta.put({ ...habits, ...change }, "habits");
  });
}
