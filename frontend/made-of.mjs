/* Says as JSON what each script of the phone is made of: {script: {part: bytes}}. Writes nothing. */
import { madeOf } from "./bundling.mjs";

const SCRIPTS = { "worker.js": "src/worker.ts", "page.js": "src/page/main.ts" };
const define = { BENCH_WORDS: "{}", BENCH_FILES: "{}", BENCH_VERSION: '"0123456789"' };

const told = {};
for (const [name, entry] of Object.entries(SCRIPTS)) told[name] = await madeOf(entry, define);
console.log(JSON.stringify(told));
