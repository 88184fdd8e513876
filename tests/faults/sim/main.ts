/*
 * Runs seeds one after another and says one line of JSON about each:
 * node simulator.mjs '{"seeds": [1, 2, 3], "phone": "…", "library": "…", "python": "…", "empty": "…", "root": "…"}'
 */
import { readFileSync, writeSync } from "node:fs";
import { live, type Outcome } from "./day";
import { type Patch, Pipe } from "./pipe";
import { planFor } from "./plan";
import { libraryOf, programOf } from "./program";
import type { Kit, Library } from "./shift";
import { shrink } from "./shrink";

type Wanted = {
  seeds: string[];
  phone: string;
  library: string;
  python: string;
  empty: string;
  root: string;
  broken: Patch[];
  trace: boolean;
  shrink: boolean;
  stopAtFirst: boolean;
};

async function main(): Promise<void> {
  const wanted = JSON.parse(process.argv[2] ?? "{}") as Wanted;
  const pipe = new Pipe(wanted);
  const kit: Kit = {
    pipe,
    program: programOf(readFileSync(wanted.phone, "utf8"), wanted.phone),
    library: libraryOf<Library>(readFileSync(wanted.library, "utf8"), wanted.library),
  };
  for (const seed of wanted.seeds) {
    const started = performance.now();
    let plan = planFor(seed);
    let outcome = await live(plan, kit, wanted.trace);
    if (wanted.shrink && outcome.wrong.length > 0) {
      plan = await shrink(plan, kit, outcome.wrong);
      outcome = await live(plan, kit, true);
    }
    say(outcome, plan.steps.length, performance.now() - started);
    if (pipe.broken) break;
    if (wanted.stopAtFirst && outcome.wrong.length > 0) break;
  }
  pipe.close();
}

function say(outcome: Outcome, steps: number, ms: number): void {
  const line = Buffer.from(`${JSON.stringify({ ...outcome, steps, ms: Math.round(ms) })}\n`);
  let at = 0;
  while (at < line.length) at += writeSync(1, line, at);
}

await main();
process.exit(0);
