/* Jobs that show everything the bench can show, in a workshop whose every word of people and tables is marked. */
import sent from "../../../fixtures/cases/catalogue.json";
import type { Entry } from "../journal/entry";
import type { Step } from "../journal/route";
import {
  type Bench,
  makeAsk,
  makeBench,
  makeEntry,
  makeHeader,
  makeStep,
  ROUTE,
  WORKSHOP,
} from "./bench";
import { marked } from "./pseudo";

const EPOCH = "22222222-2222-4222-8222-222222222222";

const torque = (item: string) =>
  makeAsk({
    item,
    kind: "torque",
    label: item,
    unit: "N·m",
    rule: { type: "band", min: 4, max: 6 },
  });

/** What the usual fixture lacks: choices, a photo, a run of fasteners, a compound, a source. */
export const MORE: Step[] = [
  makeStep("bars", {
    stage: "assemble",
    source: "a handbook",
    source_kind: "handbook",
    compound: { key: "paste", title: "Paste", never: "Never on a brake" },
    asks: ["one", "two", "three", "four"].map(torque),
  }),
  makeStep("bell", {
    stage: "drive",
    after: [{ key: "stem", because: "it hangs there" }],
    asks: [
      makeAsk({ item: "bell", kind: "photo", label: "The bell", phases: ["found"] }),
      makeAsk({
        item: "sound",
        kind: "choice",
        label: "Its sound",
        phases: ["found"],
        choices: [
          { value: "clear", label: "clear", verdict: "sound" },
          { value: "dull", label: "dull", verdict: "renew" },
        ],
      }),
      makeAsk({ item: "wheel", label: "Wheel", rule: null, scale: null, mark: "See the rim" }),
    ],
  }),
];

const says = (kind: string, body: Entry["body"]) => makeEntry({ kind, body });
const reads = (step: string, item: string, phase: string, value: number | null, unit: string) =>
  says("reading", { step, item, phase, value, unit, ...(value === null && { loose: true }) });

export function busy(): Entry[] {
  const [worn, cracked] = [true, false].map((safety) =>
    says("finding", { title: "Pads", reason: "worn", minutes: 20, parts: [], safety }),
  ) as [Entry, Entry];
  const note = says("note", { text: "The bell rattles", step: "wash" });
  const photo = { sha256: "a".repeat(64), mime: "image/jpeg", width: 4, height: 3, bytes: 9 };
  return [
    worn,
    cracked,
    note,
    ...Array.from({ length: 6 }, () => says("note", { text: "more" })),
    makeEntry({ kind: "void", body: { reason: "wrong bike" }, supersedes: [note.id] }),
    says("hands-on", {}),
    says("tick", { step: "wash", outcome: "done" }),
    says("tick", { step: "look", outcome: "not-needed", reason: "new" }),
    reads("pads", "front-pad", "found", 0.9, "mm"),
    reads("pads", "front-pad", "found", 2, "mm"),
    reads("pads", "chain", "found", 0.9, "%"),
    reads("pads", "chain", "left", 309, "mm"),
    reads("stem", "stem", "found", null, "N·m"),
    reads("stem", "stem", "left", 9, "N·m"),
    reads("bell", "wheel", "found", 3, "mm"),
    says("choice", { step: "bell", item: "sound", phase: "found", value: "dull" }),
    says("check", { step: "second_look", outcome: "not-agreed", text: "It is loose", seen: [] }),
    says("photo", { ...photo, phase: "before", step: "bell", item: "bell" }),
    says("photo", { ...photo, sha256: "b".repeat(64), phase: "detail", caption: "A dent" }),
    says("route-added", {
      finding: worn.id,
      title: "Pads",
      steps: [makeStep("renew_pads", { stage: "brakes" })],
    }),
  ];
}

export const released = () => [
  ...busy(),
  says("check", { step: "second_look", outcome: "agreed", seen: [] }),
  says("released", { mode: "not-to-ride", reason: "The fork is cracked" }),
];

/** A phone in a workshop whose every word of people and tables is marked. */
export async function openMarked(entries: Entry[]): Promise<Bench> {
  const bench = await makeBench();
  const route = [...ROUTE, ...MORE];
  const history = "It was here in May";
  bench.server.jobs = marked([
    makeHeader({ route, history }),
    makeHeader({ id: "0190a000-0000-7000-8000-00000000000b", promised_at: null }),
    makeHeader({
      id: "0190a000-0000-7000-8000-00000000000c",
      promised_at: "2026-03-05T17:00:00Z",
      go_ahead_minor: 0,
      says: "",
    }),
  ]);
  bench.server.workshop = marked({ ...WORKSHOP, catalogue: sent.version });
  bench.server.catalogue = marked(sent);
  bench.server.epoch = EPOCH;
  for (const entry of marked(entries)) bench.server.add(entry);
  await bench.syncer.sync({ force: true });
  return bench;
}
