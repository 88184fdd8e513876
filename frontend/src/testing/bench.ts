/* A bench for tests: a fresh database, one enrolled phone, one job, and the app as the worker runs it. */
import "fake-indexeddb/auto";
import { IDBFactory } from "fake-indexeddb";
import { v7 } from "uuid";
import { createApp } from "../app";
import type { Entry } from "../journal/entry";
import type { Ask, Step } from "../journal/route";
import { closeDatabase, edit } from "../store/database";
import { enrol } from "../store/enrolment";
import type { JobHeader, WorkshopInfo } from "../store/schema";
import { createSyncer, type Syncer } from "../sync/loop";
import { FakeServer } from "./fake-server";

export const MIRA = "0190a000-0000-7000-8000-000000000001";
export const OTTO = "0190a000-0000-7000-8000-000000000002";
export const JOB = "0190a000-0000-7000-8000-00000000000a";
export const DEVICE = "0190a000-0000-7000-8000-0000000000d1";
export const OTHER_DEVICE = "0190a000-0000-7000-8000-0000000000d2";
export const WRENCH = "0190a000-0000-7000-8000-0000000000e1";

export function makeAsk(ask: Partial<Ask> = {}): Ask {
  return {
    item: "front-pad",
    kind: "reading",
    label: "Front pad",
    phases: ["found", "left"],
    required: ["found"],
    unit: "mm",
    rule: { type: "minimum", renew: 0.5, watch: 1 },
    scale: [0, 4],
    uncertainty: null,
    source_kind: "common_practice",
    ...ask,
  };
}

export function makeStep(key: string, step: Partial<Step> = {}): Step {
  return {
    key,
    stage: "measure",
    title: `Step ${key}`,
    how: "Do it.",
    why: "It matters.",
    kind: "work",
    after: [],
    minutes: { low: 1, typical: 3, high: 5 },
    compound: null,
    bath: null,
    safety: false,
    cautions: [],
    points: [],
    source: "",
    source_kind: "common_practice",
    asks: [],
    ...step,
  };
}

const TORQUE = makeAsk({
  item: "stem",
  kind: "torque",
  label: "Stem faceplate",
  unit: "N·m",
  rule: { type: "band", min: 4, max: 6 },
  required: ["left"],
  safety: true,
});
const CHAIN = makeAsk({
  item: "chain",
  label: "Chain",
  unit: "%",
  rule: { type: "maximum", renew: 0.75, watch: 0.5 },
  uncertainty: 0.05,
  also: { unit: "mm", pitches: 24 },
});

export const ROUTE: Step[] = [
  makeStep("look", { stage: "intake" }),
  makeStep("pads", { asks: [makeAsk(), CHAIN], safety: true }),
  makeStep("wash", {
    stage: "clean",
    after: [{ key: "look", because: "damage must be seen before it is clean" }],
  }),
  makeStep("stem", {
    stage: "assemble",
    asks: [TORQUE],
    safety: true,
    cautions: ["A stem that turns throws the rider"],
  }),
  makeStep("second_look", {
    stage: "final",
    kind: "check",
    checks: ["stem"],
    points: ["stem straight"],
  }),
  makeStep("release", { stage: "handover", kind: "release" }),
];

export function makeHeader(header: Partial<JobHeader> = {}): JobHeader {
  return {
    id: JOB,
    number: "J-0042",
    bike: "moss-green city bike, 8-speed hub",
    tag: `/bench/jobs/${JOB}`,
    customer: "Jana",
    service: "standard",
    traits: { kind: "city" },
    says: "It <clicks> under load",
    go_ahead_minor: 4000,
    currency: "GBP",
    route: ROUTE,
    promised_at: "2026-03-02T17:00:00Z",
    opened_at: "2026-03-01T09:00:00Z",
    history: "",
    ...header,
  };
}

export const WORKSHOP: WorkshopInfo = {
  name: "Towpath Cycles",
  currency: "GBP",
  timezone: "Europe/London",
  people: [
    { id: MIRA, name: "Mira", role: "mechanic" },
    { id: OTTO, name: "Otto", role: "manager" },
  ],
  instruments: [
    {
      id: WRENCH,
      name: "Wrench 2–25",
      kind: "torque wrench",
      unit: "N·m",
      range_min: 2,
      range_max: 25,
      class_pct: 4,
      resolution: null,
      due_on: null,
      worn_out: false,
    },
  ],
  tasks: [
    {
      key: "front-pads",
      title: "Front pads renewed",
      minutes: 20,
      safety: true,
      step: "pads",
      item: "front-pad",
    },
  ],
  hours: { mon: [["09:00", "17:30"]] },
  catalogue: "",
};

let counter = 0;

/** An entry that another phone wrote. */
export function makeEntry(entry: Partial<Entry> = {}): Entry {
  counter += 1;
  return {
    v: 1,
    id: v7(),
    job: JOB,
    kind: "tick",
    device: OTHER_DEVICE,
    n: counter,
    by: OTTO,
    at: "2026-03-02T09:00:00.000Z",
    body: { step: "look", outcome: "done" },
    supersedes: [],
    ...entry,
  };
}

/** Many own entries that wait, put there at one go: one by one they take a slow machine too long. */
export async function writeMany(count: number, job: string): Promise<void> {
  await edit(["entries", "meta"], async (tx) => {
    for (let n = 1; n <= count; n += 1) {
      const entry = makeEntry({ job, device: DEVICE, n, by: MIRA, at: NOW.toISOString() });
      await tx.objectStore("entries").put({ id: entry.id, job, entry, own: true, unsent: n });
    }
    await tx.objectStore("meta").put(count, "n");
  });
}

export const NOW = new Date("2026-03-02T10:15:00.000Z");

export function freshDatabase(): void {
  closeDatabase();
  globalThis.indexedDB = new IDBFactory();
}

export type Bench = {
  app: ReturnType<typeof createApp>;
  server: FakeServer;
  syncer: Syncer;
  changed: Array<{ jobs: string[]; from?: string | undefined }>;
  get: (path: string, headers?: Record<string, string>) => Promise<Response>;
  post: (
    path: string,
    form: Record<string, string>,
    headers?: Record<string, string>,
  ) => Promise<Response>;
};

/** Enrolled and in step with a server that has one job. */
export async function makeBench(): Promise<Bench> {
  freshDatabase();
  const server = new FakeServer();
  server.jobs = [makeHeader()];
  server.workshop = WORKSHOP;
  const bench = connect(server);
  await enrol({ device: DEVICE, token: server.token }, MIRA);
  await bench.syncer.sync({ force: true });
  return bench;
}

export function connect(server: FakeServer, at = NOW): Bench {
  const changed: Bench["changed"] = [];
  const now = () => at;
  const deps = {
    fetch: server.fetch,
    now,
    version: "test",
    changed: (jobs: string[], from?: string) => changed.push({ jobs, from }),
  };
  const real = createSyncer({
    ...deps,
    // Nothing is tried again by itself: tests say themselves when to sync.
    later: () => () => undefined,
    random: () => 0.5,
    told: () => undefined,
    signedOut: () => changed.push({ jobs: [], from: "signed out" }),
    locks: undefined,
  });
  const syncer: Syncer = { ...real, soon: async () => undefined };
  const assets = {
    css: "/static/s.css",
    page: "/static/p.js",
    scan: "/static/scan.js",
    manifest: "/static/m",
    icon: "/static/i.png",
    font: "/static/f.woff2",
  };
  const app = createApp({ ...deps, syncer, assets });
  return {
    app,
    server,
    syncer,
    changed,
    get: async (path, headers = {}) => app.request(path, { headers }),
    post: async (path, form, headers = {}) =>
      app.request(path, {
        method: "POST",
        body: new URLSearchParams(form),
        headers: { "HX-Request": "true", ...headers },
      }),
  };
}
