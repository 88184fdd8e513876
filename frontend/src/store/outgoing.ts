/* What the next request says, read at one go. */
import type { Entry } from "../journal/entry";
import { withDatabase } from "./database";
import { factsIn } from "./meta";
import { countKept, listSetAside, listUnsent, type SetAside } from "./outbox";
import type { DeviceFacts, MetaValues, OpenJob, StorageState, SyncFacts } from "./schema";

export type Outgoing = {
  device: DeviceFacts | undefined;
  facts: SyncFacts;
  last_n: number;
  entries: Entry[];
  more: boolean;
  unsent: { entries: number; photos: number; walk_ins: number; oldest_at: string | null };
  storage: StorageState;
  open: OpenJob | null;
  set_aside: SetAside[];
  workshop_digest: string;
};

export async function readOutgoing(limit: number, held: ReadonlySet<string>): Promise<Outgoing> {
  const [known, kept, next, set_aside] = await Promise.all([
    readKnown(),
    countKept(),
    listUnsent(limit + 1, held),
    listSetAside(),
  ]);
  const entries = next.slice(0, limit);
  const left = kept.entries - entries.length;
  const oldest = next.length > limit || left > 0 ? kept.oldestAt : null;
  return {
    ...known,
    entries,
    more: next.length > limit,
    unsent: {
      entries: left,
      photos: kept.photos,
      walk_ins: kept.walkIns,
      oldest_at: oldest,
    },
    set_aside,
  };
}

type Known = Pick<Outgoing, "device" | "facts" | "last_n" | "storage" | "open" | "workshop_digest">;

async function readKnown(): Promise<Known> {
  return withDatabase(async (database) => {
    const meta = database.transaction("meta").store;
    const get = <K extends keyof MetaValues>(key: K) =>
      meta.get(key) as Promise<MetaValues[K] | undefined>;
    const [device, facts, n, storage, open, digest] = await Promise.all([
      get("device"),
      factsIn(meta),
      get("n"),
      get("storage"),
      get("open"),
      get("workshop_digest"),
    ]);
    return {
      device,
      facts,
      last_n: n ?? 0,
      storage: storage ?? "",
      open: open ?? null,
      workshop_digest: digest ?? "",
    };
  });
}
