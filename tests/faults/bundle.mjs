/*
 * Bundles what the simulator needs: itself, the phone's worker, and the functions of the phone it
 * calls. `node bundle.mjs FOLDER [BROKEN]`; BROKEN is a JSON list of source patches, see mutations.py.
 */
import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { join } from "node:path";

const here = new URL("./", import.meta.url).pathname;
const root = new URL("../../", import.meta.url).pathname;
const frontend = join(root, "frontend");
const { build } = createRequire(join(frontend, "package.json"))("esbuild");

const [folder, broken = "[]"] = process.argv.slice(2);
const patches = JSON.parse(broken).filter(({ file }) => file.startsWith("frontend/"));

/** Replaces each patch's text; a text that is not there exactly once is an error. */
const breaking = {
  name: "breaking",
  setup({ onLoad }) {
    for (const file of new Set(patches.map((patch) => patch.file))) {
      const path = join(root, file);
      onLoad({ filter: exactly(path) }, async () => ({
        contents: patched(
          await readFile(path, "utf8"),
          patches.filter((patch) => patch.file === file),
        ),
        loader: path.endsWith("x") ? "tsx" : "ts",
      }));
    }
  },
};

function exactly(path) {
  return new RegExp(`^${path.replace(/[.*+?^${}()|[\]\\]/g, "\\$&")}$`);
}

function patched(text, wanted) {
  return wanted.reduce((before, { file, find, put }) => {
    const count = before.split(find).length - 1;
    if (count !== 1) throw new Error(`${file} has ${count} times, not once: ${find}`);
    return before.replace(find, () => put);
  }, text);
}

/** The simulated disk decides when the database of a phone takes its turns. */
const ownTurns = {
  name: "own turns",
  setup({ onResolve }) {
    onResolve({ filter: /\/scheduling\.js$/ }, () => ({ path: join(here, "sim/tasks.ts") }));
  },
};

const common = {
  bundle: true,
  target: "es2022",
  logLevel: "error",
  nodePaths: [join(frontend, "node_modules")],
  tsconfig: join(frontend, "tsconfig.base.json"),
};

await Promise.all([
  build({
    ...common,
    entryPoints: [join(here, "sim/main.ts")],
    outfile: join(folder, "simulator.mjs"),
    format: "esm",
    platform: "node",
    sourcemap: "inline",
    define: { structuredClone: "cloneValue" },
    inject: [join(here, "sim/clone.ts")],
    plugins: [ownTurns],
  }),
  build({
    ...common,
    entryPoints: [join(frontend, "src/worker.ts")],
    outfile: join(folder, "phone.js"),
    format: "iife",
    define: { BENCH_VERSION: '"simulated"', BENCH_FILES: "{}", BENCH_WORDS: "{}" },
    plugins: [breaking],
  }),
  build({
    ...common,
    entryPoints: [join(here, "sim/library.ts")],
    outfile: join(folder, "library.js"),
    format: "iife",
    globalName: "library",
    plugins: [breaking],
  }),
]);
