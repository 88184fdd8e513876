import { createHash } from "node:crypto";
import { expect, test } from "vitest";
import agreed from "../../../fixtures/cases/added_work.json";
import sent from "../../../fixtures/cases/catalogue.json";
import cases from "../../../fixtures/cases/compose.json";
import { canonicalJson } from "../journal/values";
import type { Catalogue, Traits } from "./catalogue";
import { compose, minutesOf, UnknownService } from "./compose";
import { merge, type Placed } from "./route";
import { findUnknownTrait, UnknownTrait } from "./traits";

type Case = { traits: Traits; service: string };

const CATALOGUE = sent as unknown as Catalogue;
const { grid, whole, refused } = cases as unknown as {
  grid: Array<Case & { sha256: string }>;
  whole: Array<Case & { route: unknown[] }>;
  refused: Array<{ traits: Traits; field: string }>;
};

function digest(value: unknown): string {
  return createHash("sha256").update(canonicalJson(value)).digest("hex");
}

test.each(whole)(
  "the whole $service of $traits is that of its case",
  ({ traits, service, route }) => {
    expect(compose(CATALOGUE, traits, service)).toEqual(route);
  },
);

test.each(grid)(
  "the $service of $traits has the hash of its case",
  ({ traits, service, sha256 }) => {
    expect(digest(compose(CATALOGUE, traits, service))).toBe(sha256);
  },
);

test.each(agreed as unknown as Array<Case & { tasks: string[]; added: Placed[]; order: string[] }>)(
  "$tasks joins the $service of $traits in the order of its case",
  ({ traits, service, added, order }) => {
    const route: Placed[] = compose(CATALOGUE, traits, service);

    expect(merge(route, added).map(({ key }) => key)).toEqual(order);
    expect(merge(route, [...added].reverse()).map(({ key }) => key)).toEqual(order);
  },
);

test.each(refused)("$traits is refused at its $field", ({ traits, field }) => {
  expect(findUnknownTrait(CATALOGUE, traits)?.key).toBe(field);
  expect(() => compose(CATALOGUE, traits, "safety")).toThrow(UnknownTrait);
});

test("a service nobody offers is refused with the choices", () => {
  expect(() => compose(CATALOGUE, { kind: "road" }, "deluxe")).toThrow(UnknownService);
  expect(() => compose(CATALOGUE, { kind: "road" }, "deluxe")).toThrow("safety, standard, full");
});

test("what a form offers first can be composed, and takes as long as its steps", () => {
  for (const traits of Object.values(CATALOGUE.offered)) {
    const route = compose(CATALOGUE, traits, "full");
    const typical = route.map((step) => step.minutes.typical).reduce((a, b) => a + b);

    expect(findUnknownTrait(CATALOGUE, traits)).toBeUndefined();
    expect(minutesOf(route).typical).toBe(typical);
  }
});

test("composing leaves the catalogue as it was", () => {
  const before = JSON.stringify(CATALOGUE);

  compose(CATALOGUE, { kind: "ebike", carbon: true }, "full");

  expect(JSON.stringify(CATALOGUE)).toBe(before);
});

test("a check is of steps that are on this route", () => {
  const steps = CATALOGUE.steps.map((row) =>
    row.kind === "check" ? { ...row, checks: [...row.checks, "svc_hubs"] } : row,
  );
  const checksOf = (service: string) =>
    compose({ ...CATALOGUE, steps }, { kind: "road" }, service).find(({ kind }) => kind === "check")
      ?.checks;

  expect(checksOf("full")).toContain("svc_hubs");
  expect(checksOf("standard")).toEqual(["final_torque", "final_check", "recheck"]);
});
