/*
 * Builds the bench into shopfloor/static/bench: hashed files for the page, the desk and the style
 * sheet, then the service worker with the list of those files and their common version baked in.
 */
import { createHash } from "node:crypto";
import { mkdir, readdir, readFile, rename, rm, writeFile } from "node:fs/promises";
import { brotliCompressSync, gzipSync } from "node:zlib";
import { bundle, bundleStyles } from "./bundling.mjs";

const here = new URL("./", import.meta.url);
const place = new URL("../shopfloor/static/bench/", here);
// Built beside and moved in at the end: a build that fails leaves the last good one in place.
const target = new URL("../shopfloor/static/.bench-new/", here);
const staticBase = process.env.BENCH_STATIC_BASE ?? "/static/";

const sizes = new Map();

function hashOf(bytes) {
  return createHash("sha256").update(bytes).digest("hex").slice(0, 10);
}

async function emit(logical, bytes, { hashed = true } = {}) {
  const dot = logical.lastIndexOf(".");
  const name = hashed ? `${logical.slice(0, dot)}-${hashOf(bytes)}${logical.slice(dot)}` : logical;
  await writeFile(new URL(name, target), bytes);
  const zipped = gzipSync(bytes, { level: 9 });
  // The server picks these up by itself: the customer's phone may be on a slow line.
  if (/\.(css|js|json|svg)$/.test(name)) {
    await writeFile(new URL(`${name}.gz`, target), zipped);
    await writeFile(new URL(`${name}.br`, target), brotliCompressSync(bytes));
  }
  sizes.set(name, [bytes.length, zipped.length]);
  return `bench/${name}`;
}

/** Every language but English, which is built in: its tag and its file. */
async function languages() {
  const files = {};
  for (const name of await readdir(new URL("words/", here))) {
    if (name === "en.json") continue;
    const sentences = JSON.parse(await readFile(new URL(`words/${name}`, here)));
    files[`words-${name}`] = await emit(`words-${name}`, Buffer.from(JSON.stringify(sentences)));
  }
  return files;
}

/** One style sheet; fonts and pictures it names come out beside it under hashed names. */
async function styles(entry, logical) {
  const files = {};
  for (const [name, bytes] of await bundleStyles(entry, target.pathname)) {
    if (name.endsWith(".css")) files[logical] = await emit(logical, bytes);
    else files[name] = await emit(name, bytes, { hashed: false });
  }
  return files;
}

/** Pictures that go out as they are; the folder's name is part of theirs where it is not the icons'. */
async function pictures(folder, prefix = "") {
  const files = {};
  for (const name of await readdir(new URL(folder, here))) {
    if (!/\.(png|svg)$/.test(name)) continue;
    files[prefix + name] = await emit(prefix + name, await readFile(new URL(folder + name, here)));
  }
  return files;
}

/** Every sign of the house as a symbol of one file; pages name it with <use>. */
async function glyphSheet() {
  const { glyphs } = JSON.parse(await readFile(new URL("icons/glyphs.json", here)));
  const symbols = Object.entries(glyphs).map(
    ([name, { viewBox, path }]) =>
      `<symbol id="${name}" viewBox="${viewBox}"><path d="${path}"/></symbol>`,
  );
  return `<svg xmlns="http://www.w3.org/2000/svg">${symbols.join("")}</svg>`;
}

/** What the phone's home screen shows, and what is shown before it is put there. */
function webManifest(files) {
  const icon = (name, size, purpose) => ({
    src: staticBase + files[name],
    sizes: `${size}x${size}`,
    type: "image/png",
    purpose,
  });
  const screen = (name, sizes, form_factor, label) => ({
    src: staticBase + files[name],
    sizes,
    type: "image/png",
    form_factor,
    label,
  });
  return JSON.stringify({
    id: "/bench/",
    name: "Shopfloor bench",
    short_name: "Bench",
    description: "The workshop's jobs at the work stand, with or without signal.",
    lang: "en-GB",
    start_url: "/bench/",
    scope: "/bench/",
    display: "standalone",
    launch_handler: { client_mode: ["navigate-existing", "auto"] },
    background_color: "#edf0ed",
    theme_color: "#edf0ed",
    categories: ["business", "productivity", "utilities"],
    icons: [
      icon("icon-192.png", 192, "any"),
      icon("icon-512.png", 512, "any"),
      icon("icon-maskable-512.png", 512, "maskable"),
    ],
    screenshots: [
      screen("screen-job.png", "390x844", "narrow", "A job: what was agreed, and what was found"),
      screen("screen-jobs.png", "390x844", "narrow", "Today's jobs"),
      screen("screen-wide.png", "1280x800", "wide", "A job on a tablet"),
    ],
    shortcuts: [
      { name: "Take a bike in", url: "/bench/walk-in" },
      { name: "Scan a tag", url: "/bench/scan" },
    ],
  });
}

await rm(target, { recursive: true, force: true });
await mkdir(target, { recursive: true });

const words = await languages();
const byLanguage = Object.entries(words).map(([name, file]) => [
  name.slice("words-".length, -".json".length),
  staticBase + file,
]);
const define = { BENCH_WORDS: JSON.stringify(Object.fromEntries(byLanguage)) };
const files = {
  ...words,
  "page.js": await emit("page.js", await bundle("src/page/main.ts", define)),
  "install.js": await emit("install.js", await bundle("src/page/install-page.ts", define)),
  "scan.js": await emit("scan.js", await bundle("src/page/scan.ts", define)),
  "desk.js": await emit("desk.js", await bundle("src/desk/main.ts", define)),
  ...(await styles("styles/index-bench.css", "bench.css")),
  ...(await styles("styles/index-desk.css", "shopfloor.css")),
  ...(await pictures("icons/")),
  ...(await pictures("screens/", "screen-")),
  "glyphs.svg": await emit("glyphs.svg", Buffer.from(await glyphSheet())),
};
files["manifest.webmanifest"] = await emit("manifest.webmanifest", Buffer.from(webManifest(files)));

const forDesk = new Set(["desk.js", "shopfloor.css", "install.js"]);
const forBench = Object.keys(files).filter(
  (name) => !forDesk.has(name) && !name.startsWith("screen-"),
);
const workerSource = await bundle("src/worker.ts", {
  ...define,
  BENCH_VERSION: '"@version@"',
  BENCH_FILES: JSON.stringify(
    Object.fromEntries(forBench.map((name) => [name, staticBase + files[name]])),
  ),
});
const version = hashOf(workerSource);
await emit("worker.js", Buffer.from(workerSource.toString().replaceAll("@version@", version)), {
  hashed: false,
});
files["worker.js"] = "bench/worker.js";
await writeFile(new URL("manifest.json", target), JSON.stringify({ ...files, version }, null, 2));

await rm(place, { recursive: true, force: true });
await rename(target, place);

console.log(`version ${version}`);
for (const [name, [raw, gz]] of sizes) {
  console.log(`${name.padEnd(40)} ${String(raw).padStart(8)} B ${String(gz).padStart(8)} B gzip`);
}
