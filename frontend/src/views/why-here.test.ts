import { expect, test } from "vitest";
import { fold } from "../journal/fold";
import { fullRoute, progress } from "../journal/progress";
import { makeEntry, makeHeader, makeStep, OTTO, WORKSHOP } from "../testing/bench";
import type { Catalogue } from "../trade/catalogue";
import { describeJob, findStep } from "./job-model";
import { whyHere } from "./why-here";

const FINDING = "0190a000-0000-7000-8000-0000000000f1";
const yesNo = [
  { value: true, label: "yes" },
  { value: false, label: "no" },
];
const CATALOGUE = {
  fields: [
    { key: "kind", label: "Kind", options: [{ value: "city", label: "City bike" }] },
    { key: "brakes", label: "Brakes", options: [{ value: "drum", label: "Drum or roller" }] },
    { key: "hydraulic", label: "Hydraulic", options: yesNo },
  ],
  usual: { city: { brakes: "drum", hydraulic: false } },
  services: [
    { key: "safety", title: "Safety check" },
    { key: "standard", title: "Standard service" },
  ],
  steps: [
    { key: "look", tier: "safety", when: null },
    { key: "pads", tier: "standard", when: [{ hydraulic: [true] }, { brakes: ["drum"] }] },
  ],
} as unknown as Catalogue;

const EXTRA = makeStep("bell", { stage: "final" });
const ENTRIES = [
  makeEntry({
    id: FINDING,
    kind: "finding",
    by: OTTO,
    body: { title: "New bell", reason: "It is broken.", minutes: 5, parts: [], safety: false },
  }),
  makeEntry({
    kind: "route-added",
    body: { finding: FINDING, title: "New bell", steps: [EXTRA] },
  }),
];

function why(key: string, catalogue?: Catalogue): string[] {
  const header = makeHeader();
  const state = fold(ENTRIES);
  const route = fullRoute(header.route, state);
  const source = { header, entries: ENTRIES, state, route, where: progress(route, state) };
  const job = describeJob(source, WORKSHOP.people);
  const view = findStep(job, key);
  if (!view) throw new Error(key);
  return whyHere(job, view, catalogue);
}

test("a step of every bike says so, with the lightest service that has it", () => {
  expect(why("look", CATALOGUE)).toEqual([
    "Every bike has it",
    "The lightest service that has it: Safety check",
  ]);
});

test("a step that came by a trait names it, also one that is only usual for the kind", () => {
  expect(why("pads", CATALOGUE)[0]).toContain("Brakes: Drum or roller");
  expect(why("pads", CATALOGUE)[0]).not.toContain("Hydraulic");
});

test("a step that came with a finding names it, who reported it and why", () => {
  expect(why("bell", CATALOGUE)).toEqual([
    "It came with a finding that was agreed: “New bell”. Otto wrote: “It is broken.”",
  ]);
});

test("without the catalogue, or for a step it does not have, nothing is made up", () => {
  expect(why("look")).toEqual([]);
  expect(why("wash", CATALOGUE)).toEqual([]);
});
