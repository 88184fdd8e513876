/* How every script and style sheet of the phone and the desk is bundled, and what a bundle is made of. */
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const here = fileURLToPath(new URL("./", import.meta.url));

const SCRIPT = {
  bundle: true,
  minify: true,
  format: "iife",
  target: ["es2022", "safari16.4"],
  legalComments: "none",
  jsx: "automatic",
  jsxImportSource: "#html",
  logLevel: "warning",
  write: false,
  absWorkingDir: here,
};

export async function bundle(entry, define) {
  const result = await build({ ...SCRIPT, entryPoints: [entry], define });
  return Buffer.from(result.outputFiles[0].contents);
}

/** The sheet and the files it names, as pairs of name and bytes. */
export async function bundleStyles(entry, outdir) {
  const result = await build({
    ...SCRIPT,
    entryPoints: [entry],
    outdir,
    assetNames: "[name]-[hash]",
    loader: { ".woff2": "file", ".woff": "file", ".svg": "file" },
  });
  return result.outputFiles.map(({ path, contents }) => [
    path.split("/").pop(),
    Buffer.from(contents),
  ]);
}

/** Bytes by part of the minified script: a folder of src, a package, or the catalogue. */
export async function madeOf(entry, define) {
  const options = { ...SCRIPT, entryPoints: [entry], define, metafile: true };
  const { outputs } = (await build(options)).metafile;
  const parts = {};
  for (const [path, { bytesInOutput }] of Object.entries(Object.values(outputs)[0].inputs)) {
    const part = partOf(path);
    parts[part] = (parts[part] ?? 0) + bytesInOutput;
  }
  return parts;
}

function partOf(path) {
  const [, name] = /node_modules\/((?:@[^/]+\/)?[^/]+)/.exec(path) ?? [];
  if (name) return name;
  const folders = path.split("/");
  return folders.length > 2 ? folders.slice(0, 2).join("/") : path;
}
