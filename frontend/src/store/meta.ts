/* The phone's few facts about itself: device, person at work, cursor, habits. */
import { edit, withDatabase } from "./database";
import type { DeviceFacts, MetaValues, SyncFacts, WorkshopInfo } from "./schema";

export const NO_SYNC_YET: SyncFacts = {
  cursor: 0,
  epoch: null,
  problem: null,
  message: "",
  last_at: null,
  clock_offset_ms: 0,
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

export const findDevice = (): Promise<DeviceFacts | undefined> => read("device");
export const findPerson = (): Promise<string | undefined> => read("person");
export const setPerson = (person: string): Promise<void> => write("person", person);

export async function getSyncFacts(): Promise<SyncFacts> {
  return (await read("sync")) ?? NO_SYNC_YET;
}

type MetaStore = { get: (key: "sync") => Promise<unknown> };

/** The facts as a running transaction sees them. */
export async function factsIn(store: MetaStore): Promise<SyncFacts> {
  return ((await store.get("sync")) as SyncFacts | undefined) ?? NO_SYNC_YET;
}

export type FrameFacts = {
  workshop: WorkshopInfo | undefined;
  person: string;
  facts: SyncFacts;
};

/** What every page shows, in one look. */
export async function readFrameFacts(): Promise<FrameFacts> {
  return withDatabase(async (database) => {
    const meta = database.transaction("meta").store;
    const [workshop, person, facts] = await Promise.all([
      meta.get("workshop") as Promise<WorkshopInfo | undefined>,
      meta.get("person") as Promise<string | undefined>,
      factsIn(meta),
    ]);
    return { workshop, person: person ?? "", facts };
  });
}

/** Only the fields that say how sending goes; the cursor moves with the entries it counts. */
export async function noteSync(
  change: Partial<Omit<SyncFacts, "cursor" | "epoch">>,
): Promise<void> {
  await edit(["meta"], async (tx) => {
    const meta = tx.objectStore("meta");
    await meta.put({ ...(await factsIn(meta)), ...change }, "sync");
  });
}

/** A new identity starts its own count; entries keep the device they were written on. */
export async function enrol(facts: DeviceFacts, person: string | undefined): Promise<void> {
  await edit(
    ["meta"],
    async (tx) => {
      const meta = tx.objectStore("meta");
      const before = (await meta.get("device")) as DeviceFacts | undefined;
      if (before?.device !== facts.device) await meta.put(0, "n");
      await meta.put(facts, "device");
      if (person) await meta.put(person, "person");
      await meta.put({ ...(await factsIn(meta)), problem: null, message: "" }, "sync");
    },
    "strict",
  );
}

/** The server saw that this phone's data was copied to another: from here on it counts under a new name. */
export async function adoptDevice(device: string): Promise<void> {
  await edit(
    ["meta"],
    async (tx) => {
      const meta = tx.objectStore("meta");
      const facts = (await meta.get("device")) as DeviceFacts | undefined;
      if (!facts || facts.device === device) return;
      await meta.put({ ...facts, device }, "device");
      await meta.put(0, "n");
    },
    "strict",
  );
}

export async function getLastN(): Promise<number> {
  return (await read("n")) ?? 0;
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
