import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import ambiguousRows from "../../../shopfloor/trade/tables/ambiguous_sizes.json";
import seatRows from "../../../shopfloor/trade/tables/bead_seats.json";
import classRows from "../../../shopfloor/trade/tables/bolt_classes.json";
import fluidRows from "../../../shopfloor/trade/tables/brake_fluids.json";
import threadRows from "../../../shopfloor/trade/tables/threads.json";
import factorRows from "../../../shopfloor/trade/tables/torque_factors.json";
import limitRows from "../../../shopfloor/trade/tables/tyre_limits.json";
import wearTable from "../../../shopfloor/trade/tables/wear.json";
import * as bolts from "./bolts";
import * as brakes from "./brakes";
import * as chain from "./chain";
import * as pressures from "./pressures";
import { projectWear } from "./projection";
import { Refusal } from "./refusal";
import * as torque from "./torque";
import * as tyres from "./tyres";

type Given = Record<string, never>;
type Case = {
  id: string;
  calc: string;
  inputs: Given;
  expected: unknown;
  tolerance: { abs?: number; rel?: number; exact?: boolean };
};

const CASES: Case[] = readFileSync("../fixtures/cases/trade.ndjson", "utf8")
  .trim()
  .split("\n")
  .map((line) => JSON.parse(line));
const wearRows = wearTable as unknown as (brakes.WearRow & chain.ChainRow)[];
const chainRows = wearRows.filter((row) => row.sprockets);
const threads = threadRows as unknown as bolts.ThreadRow[];
const sizes = { seats: seatRows, ambiguous: ambiguousRows };

function fraction(told: string | number): number {
  const [above, below = "1"] = String(told).split("/");
  return Number(above) / Number(below);
}

function lever(given: Given): torque.Lever {
  return {
    wrenchLength: given.wrench_length,
    extension: given.extension,
    angleDeg: given.angle_deg,
  };
}

function factor(condition: string): number {
  return factorRows.find(({ key }) => key === condition)?.k ?? Number.NaN;
}

function size(mark: string): Record<string, number> {
  const { widthMm, beadSeatMm, pressureKpa } = tyres.readMark(mark);
  const found = { width_mm: widthMm, bead_seat_mm: beadSeatMm };
  return pressureKpa === undefined ? found : { ...found, pressure_kpa: pressureKpa };
}

const CALCULATORS: Record<string, (given: Given) => unknown> = {
  "chain-elongation": (g) => chain.elongationPercent(g.length_mm, g.pitches),
  "chain-elongation-by-ruler": (g) =>
    chain.elongationByRuler(fraction(g.excess_in), fraction(g.nominal_in)),
  "chain-elongation-uncertainty": (g) =>
    chain.elongationUncertainty(g.reading_std_mm, g.pitches, g.ends),
  "chain-gauge-bias": (g) => chain.gaugeBias(g.clearance_mm, g.pitches),
  "chain-verdict": (g) =>
    chain.judgeChain(chainRows, g.elongation_pct, g.sprockets, g.uncertainty_pct).verdict,
  "wear-projection": (g) =>
    projectWear({
      x: g.x,
      elongationPct: g.elongation_pct,
      thresholdPct: g.threshold_pct,
      confidence: g.confidence,
    }),
  "cassette-verdict-from-chain": (g) =>
    chain.judgeCassette(chainRows, {
      elongationPct: g.elongation_pct,
      skipTest: g.skip_test,
      chains: g.chains_on_this_cassette === "unknown" ? null : g.chains_on_this_cassette,
    }),
  "torque-convert": (g) => torque.convertTorque(g.value, g.from, g.to),
  "torque-wrench-setting": (g) => torque.wrenchSetting(g.wanted, lever(g)),
  "torque-at-fastener": (g) => torque.torqueAtFastener(g.setting, lever(g)),
  "torque-wrench-permissible-deviation": (g) => torque.permissibleDeviation(g.setting_nm),
  "torque-wrench-in-range": (g) => torque.isInRange(g.needed_nm, g.max_nm, g.min_nm),
  "torque-wrench-calibration": (g) =>
    torque.calibrationState(g.last_calibrated_on, g.on, g.cycles_since, g.dropped),
  "acceptance-limits": (g) =>
    torque.acceptanceLimits(g.lower, g.upper, g.standard_uncertainty, g.guard_factor),
  "conformance-probability": (g) =>
    torque.conformanceProbability(g.reading, g.standard_uncertainty, g.lower, g.upper),
  "torque-limit-of-clamped-parts": (g) => torque.limitOfClampedParts(g.limits_nm),
  "bolt-stress-area": (g) => bolts.stressArea(threads, g.thread),
  "bolt-proof-load": (g) => bolts.proofLoad(threads, classRows, g.thread, g.class),
  "bolt-torque-for-preload": (g) => bolts.torqueForPreload(g.k, g.preload_n, g.diameter_mm),
  "bolt-preload-to-proof-ratio": (g) =>
    bolts.preloadToProof(g.torque_nm, g.k, g.diameter_mm, g.proof_load_n),
  "bolt-torque-by-class": (g) => {
    const tables = { threads, classes: classRows };
    const found = bolts.tightening(tables, g.thread, g.class, factor(g.condition));
    return { preload_n: found.preloadN, torque_nm: found.torqueNm };
  },
  "bolt-torque-with-lubricant": (g) =>
    bolts.torqueWithLubricant(g.torque_nm, factor(g.told_for), factor(g.condition)),
  "tyre-size": (g) => size(g.marking),
  "tyre-overall-diameter": (g) => tyres.overallDiameterMm(g.marking),
  "tyre-circumference": (g) => tyres.circumferenceMm(g.marking),
  "bead-seat-candidates": (g) => tyres.beadSeatCandidates(sizes, g.name),
  "tyre-fits-rim": (g) => tyres.fitsRim(g.tyre, g.rim_bead_seat_mm),
  "tyre-pressure-limit": (g) =>
    pressures.pressureLimitBar(g.tyre_max_bar, g.rim_max_bar, g.hookless),
  "tyre-pressure-for-load": (g) => pressures.pressureForLoadBar(g.load_kg, g.width_mm),
  "tyre-minimum-pressure": (g) => pressures.minimumPressureKpa(g.width_mm, g.use),
  "tyre-width-suits-rim": (g) => pressures.widthSuitsRim(g.tyre_mm, g.rim_internal_mm, g.hookless),
  "rotor-verdict": (g) => brakes.judgeRotor(wearRows, g.thickness_mm, g.minimum_mm).verdict,
  "brake-pad-verdict": (g) => brakes.judgePad(wearRows, g.friction_mm).verdict,
  "rim-wall-verdict": (g) => brakes.judgeRimWall(wearRows, g.wall_mm).verdict,
  "brake-fluid-allowed": (g) => brakes.isFluidAllowed(fluidRows, g.system, g.bottle),
};

const SHARED = CASES.filter(({ calc }) => calc in CALCULATORS);

function expectNear(found: unknown, expected: unknown, { abs = 0, rel = 0 }: Case["tolerance"]) {
  if (typeof expected === "number" && typeof found === "number") {
    const most = Math.max(abs, rel * Math.abs(expected), 1e-12);
    expect(Math.abs(found - expected)).toBeLessThanOrEqual(most);
  } else if (typeof expected === "object" && expected !== null) {
    expect(Object.keys(found as object)).toEqual(Object.keys(expected));
    for (const [key, value] of Object.entries(expected)) {
      expectNear((found as Record<string, unknown>)[key], value, { abs, rel });
    }
  } else {
    expect(found).toEqual(expected);
  }
}

test.each(SHARED)("$id: $calc as its source says", ({ calc, inputs, expected, tolerance }) => {
  if (String(expected).startsWith("error:")) {
    return expect(() => CALCULATORS[calc]?.(inputs)).toThrow(Refusal);
  }
  expectNear(CALCULATORS[calc]?.(inputs), expected, tolerance);
});

test("every calculator of the phone has a case", () => {
  expect(new Set(SHARED.map(({ calc }) => calc)).size).toBe(Object.keys(CALCULATORS).length);
});

describe("what has no answer is refused", () => {
  const km = [0, 500, 1000, 1500];

  test.each([
    ["too-few-readings", () => project([0, 1], [0, 1])],
    ["one-reading-for-each", () => project(km, [0.1])],
    ["same-distance", () => project([5, 5, 5], [1, 2, 3])],
    ["does-not-rise", () => project(km, [0.4, 0.3, 0.2, 0.1])],
    ["scatters-too-much", () => project(km, [0.1, 0.3, 0.05, 0.25])],
    ["count-the-links", () => chain.gaugeBias(0.5, 0)],
    ["reaches-past-the-grip", () => torque.wrenchSetting(5, lengths(100, -150))],
    ["tool-too-coarse", () => torque.acceptanceLimits(4, 6, 0.6)],
    ["no-uncertainty", () => torque.conformanceProbability(5, 0, 4, 6)],
    ["no-mark", () => pressures.pressureLimitBar(null, null)],
    ["no-mark", () => torque.limitOfClampedParts([])],
    ["unknown-thread", () => bolts.stressArea(threads, "9/16-20")],
    ["unknown-class", () => bolts.proofLoad(threads, classRows, "M5", "7.7")],
    ["unknown-size", () => tyres.readMark("700x28C")],
    ["unknown-size", () => tyres.beadSeatCandidates(sizes, "medium")],
    ["outside-the-chart", () => pressures.pressureForLoadBar(45, 50)],
    ["unknown-fluid", () => brakes.isFluidAllowed(fluidRows, "DOT4", "olive oil")],
  ])("%s", (reason, ask) => {
    expect(ask).toThrow(new Refusal(reason as Refusal["reason"]));
  });

  function project(x: number[], elongationPct: number[]) {
    return projectWear({ x, elongationPct, thresholdPct: 0.5 });
  }

  function lengths(wrenchLength: number, extension: number): torque.Lever {
    return { wrenchLength, extension };
  }
});

type Limit = Record<string, number>;

test("limits that stand in the code are those of the table with their sources", () => {
  const row = (key: string) => limitRows.find((one) => one.key === key) as unknown as Limit;
  const { max_bar = 0, min_tyre_mm = 0 } = row("hookless");
  const { min = 0, max = 0 } = row("ratio");

  expect(pressures.pressureLimitBar(null, null, true)).toBe(max_bar);
  expect(pressures.widthSuitsRim(min_tyre_mm, 17, true)).toBe(true);
  expect(pressures.widthSuitsRim(min_tyre_mm - 0.1, 17, true)).toBe(false);
  expect(pressures.widthSuitsRim(row("hookless:wide").min_tyre_mm ?? 0, 20.5, true)).toBe(true);
  expect(pressures.widthSuitsRim(10 * min, 10)).toBe(true);
  expect(pressures.widthSuitsRim(10 * max + 0.1, 10)).toBe(false);
  expect(pressures.minimumPressureKpa(25)).toBe(row("minimum:narrow").kpa);
  expect(pressures.minimumPressureKpa(26)).toBe(row("minimum:road").kpa);
  expect(pressures.minimumPressureKpa(20, "off-road")).toBe(row("minimum:off-road").kpa);
});

test("a setting leads back to the torque it is for, unless the lever points back past the grip", () => {
  const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
  fc.assert(
    fc.property(
      number(1, 100),
      number(100, 600),
      number(-60, 200),
      number(0, 180),
      (t, l, e, a) => {
        const one = { wrenchLength: l, extension: e, angleDeg: a };
        if (l + e * Math.cos((a * Math.PI) / 180) <= 0) {
          expect(() => torque.wrenchSetting(t, one)).toThrow(new Refusal("reaches-past-the-grip"));
          return;
        }
        const setting = torque.wrenchSetting(t, one);
        expect(torque.torqueAtFastener(setting, one)).toBeCloseTo(t, 8);
      },
    ),
  );
});
