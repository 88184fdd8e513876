/* Freezes the phone of this version into fixtures/releases: once for every version of the database. */
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { build } from "esbuild";

const folder = await mkdtemp(join(tmpdir(), "freeze-"));
const outfile = join(folder, "freeze.mjs");
await build({
  entryPoints: [fileURLToPath(new URL("src/testing/freeze.ts", import.meta.url))],
  outfile,
  bundle: true,
  format: "esm",
  platform: "node",
  jsx: "automatic",
  jsxImportSource: "#html",
  logLevel: "warning",
});
process.argv[2] = fileURLToPath(new URL("../fixtures/releases", import.meta.url));
try {
  await import(pathToFileURL(outfile).href);
} finally {
  await rm(folder, { recursive: true });
}
