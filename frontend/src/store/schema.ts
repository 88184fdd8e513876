/* The whole database of the phone as types. Additive only: unsent entries of an older version must survive. */
import type { DBSchema } from "idb";
import type { Entry } from "../journal/entry";
import type { OpenStint } from "../journal/hands";
import type { Step } from "../journal/route";
import type { Catalogue, Traits } from "../trade/catalogue";
import type { Tool } from "../trade/instrument";

export const DATABASE_NAME = "shopfloor-bench";
export const DATABASE_VERSION = 2;

/** What the server says about a job beside its entries; as the pages are given it. */
export type JobHeader = {
  id: string;
  number: string;
  bike: string;
  tag: string;
  customer: string;
  service: string;
  traits: Record<string, unknown>;
  says: string;
  go_ahead_minor: number;
  currency: string;
  route: Step[];
  promised_at: string | null;
  opened_at: string;
  history: string;
  /** Keys of the added work that this bike can need; missing on jobs fetched by an older version. */
  tasks?: string[];
};

/** As it is kept: many jobs share a route, so a header only names its own. */
export type HeaderRow = Omit<JobHeader, "route"> & { route: string };

/** The steps of a route under the SHA-256 of their canonical JSON, or "v1:" and a job's id when that was not known. */
export type RouteRow = { sha256: string; steps: Step[] };

export type Person = { id: string; name: string; role: string };
/** What is kept from before the server told the scale and the use has less of it. */
export type Instrument = Tool & { id: string; name: string; kind: string };
export type AddedTask = {
  key: string;
  title: string;
  minutes: number;
  safety: boolean;
  step?: string | null;
  item?: string | null;
};
/** Day of the week, mon to sun, to its spans of “HH:MM”. */
export type OpeningHours = Record<string, string[][]>;

export type WorkshopInfo = {
  name: string;
  currency: string;
  timezone: string;
  people: Person[];
  instruments: Instrument[];
  tasks: AddedTask[];
  /** When the shop is open in an ordinary week; missing on what an older version fetched. */
  hours?: OpeningHours;
  /** Version of the trade's tables; missing on what an older version fetched. */
  catalogue?: string;
};

/** What the list of jobs shows of one job; written in the same transaction as the entry that changed it. */
export type Summary = {
  place: string;
  done: number;
  total: number;
  next: string;
  conflicts: number;
  /** Hands that are on the bike; missing on what an older version summarised. */
  hands?: OpenStint[];
  /** The promise in the journal; newer than the header when it changed here first. */
  readyAt: string | null;
};

/** One person's hands on one bike; `still` is when somebody last said that they are on, or empty. */
export type RunningHands = OpenStint & { job: string; number: string; still: string };

/** A header without its route, which is only needed where the job itself is shown. */
export type JobBrief = Omit<JobHeader, "route">;

export type JobRow = {
  id: string;
  brief: JobBrief | null;
  summary: Summary | null;
  /** The summary is older than the entries: fold again. */
  stale: boolean;
  /** Another one with each change of the summary; see opened.ts. */
  mark?: string;
  /** 1 while the bike is in the house: what the list shows. */
  house?: number;
  /** The route it needs, while that is still to be fetched. */
  waits?: string;
  /** The life of the server that sent the header; missing in the first. */
  era?: number;
  /** 1 while the server is not known to have it: kept only to say in words what was written to it. */
  unknown?: number;
};

export type ListedJob = { header: JobBrief; summary: Summary };

export type EntryRow = {
  id: string;
  job: string;
  entry: Entry;
  /** Made on this phone. */
  own: boolean;
  /** The entry's n while the server has not taken it; the index keeps the order of sending. */
  unsent?: number;
  seq?: number;
  /** Which life of the server the number belongs to; missing in the first. */
  era?: number;
};

export type PhotoRow = {
  sha256: string;
  job: string;
  mime: string;
  bytes: ArrayBuffer;
  kept_at: string;
  /** When it was kept, in milliseconds, while the server has not taken it; 1 if kept by version 1. */
  unsent?: number;
  /** Why the server will not take it. */
  refused?: string;
  /** The same as a word of the wire. */
  code?: string;
  /** The refusal that a person took off the list, and when. */
  removed?: string;
  removed_at?: string;
  /** The workshop it is meant for, when this phone belongs to another one now. */
  workshop?: string;
};

/** A bike taken in on this phone: what the server is told of it. */
export type WalkIn = {
  customer_name: string;
  phone: string;
  bike_words: string;
  traits: Record<string, unknown>;
  service: string;
  says: string;
  go_ahead_minor: number;
  opened_at: string;
  by: string;
  catalogue: string;
  route: string;
  steps: Step[] | null;
};

export type WalkInRow = WalkIn & {
  /** The job's id. */
  id: string;
  /** 1 while the server has not taken it. */
  unsent?: number;
  /** Why the server will not take it. */
  refused?: string;
  /** The same as a word of the wire. */
  code?: string;
  /** The refusal that a person took off the list, and when. */
  removed?: string;
  removed_at?: string;
  /** 1 while its tag says the short code, not the desk's number. */
  tag?: number;
};

/** What was typed into the walk-in form so far, as it was typed. */
export type WalkInTyped = {
  name: string;
  phone: string;
  bike: string;
  kind: string;
  /** The traits below are this bike's own, not those usual for its kind. */
  differs: boolean;
  traits: Traits;
  service: string;
  says: string;
  limit: string;
};

/** Kept while it is typed, under the id its job will have; `before` is what was there when it was emptied. */
export type WalkInDraft = { job: string; typed: WalkInTyped; before?: WalkInTyped };

/** A photo of another phone, small. */
export type ThumbRow = {
  sha256: string;
  job: string;
  /** Nothing while it is still to be fetched. */
  bytes: ArrayBuffer | null;
  /** Not to be asked for before this time, in milliseconds; missing once it is here. */
  wanted?: number;
};

/** What others wrote and a restored server does not have any more: no part of the job until it comes again. */
export type LostRow = { id: string; job: string; entry: Entry; lost_at: string };

/** How much waits on this phone, and since when; how much was refused; what a restored server lost. */
export type Kept = {
  entries: number;
  photos: number;
  walkIns: number;
  oldestAt: string | null;
  refused: number;
  lost: number;
};

export type RefusedRow = {
  id: string;
  code: string;
  message: string;
  refused_at: string;
  entry: Entry;
  /** 1 until a person takes it off the list; then it can be brought back for a while. */
  listed?: number;
  removed_at?: string;
  /** The workshop it is meant for, when this phone belongs to another one now. */
  workshop?: string;
};

export type DeviceFacts = { device: string; token: string };
/** Why it is not going; "phone" is this phone's own trouble. */
export type SyncProblem = "offline" | "sign-in" | "revoked" | "server" | "gap" | "phone";
export type SyncFacts = {
  cursor: number;
  epoch: string | null;
  problem: SyncProblem | null;
  message: string;
  /** Since when there is that problem. */
  since: string | null;
  last_at: string | null;
  /** Server's clock minus this phone's, in milliseconds. */
  clock_offset_ms: number;
  /** How often the server was found restored. */
  era: number;
  /** Not everything was fetched again yet since the last restore. */
  restoring: boolean;
  /** Why photos do not go, when entries do. */
  photos_message: string;
};

/** The job whose page is on the screen, and who opened it. */
export type OpenJob = { job: string; by: string | null };
/** What another phone of the shop has open, as last heard. */
export type OtherPhone = { job: string; by: string | null; device: string; at: string };
export type StorageState = "protected" | "not protected" | "";

export type MetaValues = {
  device: DeviceFacts;
  person: string;
  n: number;
  sync: SyncFacts;
  workshop: WorkshopInfo;
  /** Last instrument by kind of reading, last unit by kind of reading. */
  habits: Record<string, string>;
  /** Open hands-on to when somebody last said that the hands are still on. */
  still: Record<string, string>;
  catalogue: Catalogue;
  walk_in: WalkInDraft;
  workshop_digest: string;
  workshop_id: string;
  open: OpenJob | null;
  others: OtherPhone[];
  /** Names under which this phone has written before. */
  former: string[];
  storage: StorageState;
};

export interface BenchDatabase extends DBSchema {
  meta: { key: keyof MetaValues; value: MetaValues[keyof MetaValues] };
  jobs: { key: string; value: JobRow; indexes: { house: number; waits: string } };
  headers: { key: string; value: HeaderRow };
  routes: { key: string; value: RouteRow };
  entries: { key: string; value: EntryRow; indexes: { job: string; unsent: number } };
  photos: {
    key: string;
    value: PhotoRow;
    indexes: { unsent: number; job: string; refused: string; removed: string };
  };
  refused: { key: string; value: RefusedRow; indexes: { listed: number } };
  walk_ins: {
    key: string;
    value: WalkInRow;
    indexes: { unsent: number; refused: string; tag: number };
  };
  thumbs: { key: string; value: ThumbRow; indexes: { job: string; wanted: number } };
  lost: { key: string; value: LostRow; indexes: { job: string } };
}

/** Where a bike stands that has left the house. */
export const GONE: ReadonlySet<string> = new Set(["collected", "cancelled"]);
