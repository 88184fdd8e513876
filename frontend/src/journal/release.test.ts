import { expect, test } from "vitest";
import file from "../../../fixtures/cases/journal/release.json";
import { parseEntry } from "./entry";
import { fold } from "./fold";
import { fullRoute } from "./progress";
import { type Missing, releaseRefusals } from "./release";
import type { Step } from "./route";

type Case = {
  name: string;
  route: Step[];
  entries: unknown[];
  missing: Missing[];
  mode: "safe" | "not-to-ride";
  reason?: string;
  expected: { refusals: [string, string | null][]; messages?: string[] };
};

test.each(file as unknown as Case[])("$name", (given) => {
  const state = fold(given.entries.map(parseEntry));
  const route = fullRoute(given.route, state);

  const refusals = releaseRefusals(route, state, given.missing, {
    mode: given.mode,
    reason: given.reason ?? null,
  });

  expect(refusals.map((one) => [one.code, one.step])).toEqual(given.expected.refusals);
  if (given.expected.messages !== undefined) {
    expect(refusals.map((one) => one.message)).toEqual(given.expected.messages);
  }
});
