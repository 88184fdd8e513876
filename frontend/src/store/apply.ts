/* Takes in what the server says: entries in its order without a hole, jobs, the workshop, other phones. */
import type { IDBPTransaction } from "idb";
import { isReadable } from "../journal/bodies";
import { type Entry, KNOWN_VERSION } from "../journal/entry";
import { canonicalJson } from "../journal/values";
import { say } from "../words/bench";
import { edit, putAll } from "./database";
import { factsIn, inEra } from "./meta";
import type { Run } from "./outbox";
import { reachFrom } from "./reach";
import type {
  BenchDatabase,
  DeviceFacts,
  EntryRow,
  HeaderRow,
  OtherPhone,
  RefusedRow,
  SyncFacts,
  WorkshopInfo,
} from "./schema";

export type Numbered = { seq: number; entry: Entry };

/** The server's list has a hole after this phone's cursor; asking again from the cursor is the cure. */
export class Gap extends Error {
  constructor(expected: number) {
    super(say("sync.gap", { number: expected }));
    this.name = "Gap";
  }
}

type Heading = IDBPTransaction<
  BenchDatabase,
  ("jobs" | "headers" | "routes" | "meta")[],
  "readwrite"
>;

/** Headers, each marked with the route it needs where that is not here yet. Returns the jobs that changed. */
export async function applyJobs(headers: HeaderRow[]): Promise<string[]> {
  if (headers.length === 0) return [];
  return edit(
    ["jobs", "headers", "routes", "meta"],
    async (tx) => {
      const facts = await factsIn(tx.objectStore("meta"));
      const applied = await Promise.all(headers.map((header) => applyJob(tx, header, facts)));
      return applied.flatMap((id) => id ?? []);
    },
    "relaxed",
  );
}

async function applyJob(
  tx: Heading,
  header: HeaderRow,
  facts: SyncFacts,
): Promise<string | undefined> {
  const [jobs, known] = [tx.objectStore("jobs"), tx.objectStore("headers")];
  const [row, before, route] = await Promise.all([
    jobs.get(header.id),
    known.get(header.id),
    tx.objectStore("routes").getKey(header.route),
  ]);
  const { era } = inEra(facts);
  const isThere = row?.brief && row.unknown === undefined && row.era === era;
  if (isThere && canonicalJson(before) === canonicalJson(header)) return undefined;
  const { route: name, ...brief } = header;
  const { waits: _, unknown: __, ...rest } = row ?? { summary: null };
  const marks = { ...inEra(facts), ...(route === undefined && { waits: name }) };
  await Promise.all([
    known.put(header),
    jobs.put({ house: 1, ...rest, id: header.id, brief, stale: true, ...marks }),
  ]);
  return header.id;
}

export async function applyWorkshop(workshop: WorkshopInfo, digest: string): Promise<void> {
  await edit(["meta"], async (tx) => {
    await tx.objectStore("meta").put(workshop, "workshop");
    await tx.objectStore("meta").put(digest, "workshop_digest");
  });
}

/** Returns the jobs that somebody else opened or left since. */
export async function applyOthers(others: OtherPhone[]): Promise<string[]> {
  return edit(["meta"], async (tx) => {
    const meta = tx.objectStore("meta");
    const before = ((await meta.get("others")) as OtherPhone[] | undefined) ?? [];
    const jobs = [...others, ...before].map((each) => each.job);
    const changed = [...new Set(jobs)].filter((job) => who(job, before) !== who(job, others));
    if (JSON.stringify(before) !== JSON.stringify(others)) await meta.put(others, "others");
    return changed;
  });
}

function who(job: string, phones: OtherPhone[]): string {
  const there = phones.filter((each) => each.job === job);
  return JSON.stringify(there.map(({ by, device }) => [by, device]).sort());
}

type Applying = IDBPTransaction<
  BenchDatabase,
  ("entries" | "jobs" | "meta" | "refused" | "lost")[],
  "readwrite"
>;

/**
 * One batch and the cursor that counts it, together. What would leave a hole is left out: then the
 * cursor stays behind the batch. Returns the jobs that say more than before.
 */
export async function applyEntries(
  batch: Numbered[],
  runs: Run[],
): Promise<{ jobs: string[]; cursor: number }> {
  return edit(
    ["entries", "jobs", "meta", "refused", "lost"],
    async (tx) => {
      const { facts, names, lost } = await around(tx);
      const { whole, cursor } = reachFrom(facts.cursor, batch, runs);
      const own = whole.filter(({ entry }) => names.has(entry.device));
      const waited = await findWaiting(tx, own);
      const jobs = groupByJob(whole.filter(({ entry }) => !waited.has(entry.id)));
      const rows = whole.map(({ seq, entry }) => {
        const { id, job, device } = entry;
        return { id, job, entry, own: names.has(device), seq, ...inEra(facts) };
      });
      putAll(tx.objectStore("entries"), rows);
      await Promise.all([
        ...[...jobs].map((each) => markStale(tx, each)),
        ...(lost > 0 ? whole.map(({ entry }) => tx.objectStore("lost").delete(entry.id)) : []),
        cursor !== facts.cursor && tx.objectStore("meta").put({ ...facts, cursor }, "sync"),
      ]);
      return { jobs: [...jobs.keys()], cursor };
    },
    "relaxed",
  );
}

/** Every name this phone writes or wrote under makes an entry its own. */
async function around(
  tx: Applying,
): Promise<{ facts: SyncFacts; names: ReadonlySet<string>; lost: number }> {
  const meta = tx.objectStore("meta");
  const [facts, device, former, lost] = await Promise.all([
    factsIn(meta),
    meta.get("device") as Promise<DeviceFacts | undefined>,
    meta.get("former") as Promise<string[] | undefined>,
    tx.objectStore("lost").count(),
  ]);
  return { facts, names: new Set([device?.device ?? "", ...(former ?? [])]), lost };
}

/**
 * Which of these wait here, so that they say nothing new. One that the server knows with other words
 * is set aside before those come in its place.
 */
async function findWaiting(tx: Applying, came: Numbered[]): Promise<Set<string>> {
  const rows = await Promise.all(came.map(({ entry }) => tx.objectStore("entries").get(entry.id)));
  const waiting = new Set<string>();
  for (const [at, row] of rows.entries()) {
    if (row?.unsent === undefined) continue;
    if (canonicalJson(row.entry) === canonicalJson(came[at]?.entry)) waiting.add(row.id);
    else await tx.objectStore("refused").put(reused(row));
  }
  return waiting;
}

function reused({ id, entry }: EntryRow): RefusedRow {
  const message = say("refused.id-reused");
  return { id, code: "id-reused", message, refused_at: entry.at, entry, listed: 1 };
}

function groupByJob(batch: Numbered[]): Map<string, Entry[]> {
  const jobs = new Map<string, Entry[]>();
  for (const { entry } of batch) {
    const of = jobs.get(entry.job);
    if (of) of.push(entry);
    else jobs.set(entry.job, [entry]);
  }
  return jobs;
}

async function markStale(tx: Applying, [id, entries]: [string, Entry[]]): Promise<void> {
  const row = await tx.objectStore("jobs").get(id);
  const { house: _, ...known } = row ?? { brief: null, summary: null };
  const house = isOver(entries) ? {} : { house: 1 };
  await tx.objectStore("jobs").put({ ...known, ...house, id, stale: true });
}

/** Such a bike has left the house and needs no summary; where the desk took something back, the fold says so. */
function isOver(entries: Entry[]): boolean {
  const ends = ({ v, kind, body }: Entry) =>
    (kind === "collected" || kind === "cancelled") && v === KNOWN_VERSION && isReadable(kind, body);
  return entries.some(ends) && !entries.some(({ kind }) => kind === "withdrawn");
}
