/* The server on the phone: answers everything under /bench/ from what is kept here, and sends when there is signal. */
import { createApp } from "./app";
import { answerLine, type LineAnswer } from "./line";
import { type BenchFiles, dropOtherVersions, findFile, keepFiles } from "./precache";
import { sayPlainly, writtenOut } from "./routes/respond";
import { createTeller, type Teller } from "./routes/teller";
import { getSyncFacts } from "./store/meta";
import { countKept } from "./store/outbox";
import { later } from "./store/timers";
import { createSyncer, type Syncer } from "./sync/loop";
import { createWaking } from "./sync/waking";
import { GLYPH_SHEET } from "./views/glyph";
import { catalogue, say } from "./words/bench";
import { type Languages, learnLanguage } from "./words/languages";

declare const self: ServiceWorkerGlobalScope;
declare const BENCH_VERSION: string;
declare const BENCH_FILES: BenchFiles;
declare const BENCH_WORDS: Languages;

type SyncEvent = ExtendableEvent & { tag: string };
type Registration = ServiceWorkerRegistration & {
  sync?: { register: (tag: string) => Promise<void> };
};

/** The typeface, without the letters that few words need. */
const FONT = /-latin-wght-normal-.*\.woff2$/;
const SYNC_TAG = "bench-sync";

const channel = new BroadcastChannel("bench");
const now = () => new Date();
const fetcher = (url: string, init: RequestInit) => fetch(url, init);

function changed(jobs: string[], from?: string): void {
  teller.forget();
  // Written without signal: the page may be closed before a sync could fail.
  if (!self.navigator.onLine) waking.ask();
  channel.postMessage({ kind: "changed", jobs, ...(from ? { from } : {}) });
}

const syncer: Syncer = createSyncer({
  fetch: fetcher,
  now,
  version: BENCH_VERSION,
  changed,
  later,
  random: Math.random,
  told: () => void told().catch(() => undefined),
  signedOut: () => channel.postMessage({ kind: "signed-out" }),
  locks: self.navigator.locks,
});

const teller: Teller = createTeller({
  now,
  isRunning: syncer.isRunning,
  tell: () => channel.postMessage({ kind: "truth" }),
});

const waking = createWaking({
  now,
  register: async () => (self.registration as Registration).sync?.register(SYNC_TAG),
});

async function told(): Promise<void> {
  await teller.told();
  const { entries, photos, walkIns } = await countKept();
  if (entries + photos + walkIns > 0 && !syncer.isRunning()) waking.ask();
}

function file(name: string): string {
  return BENCH_FILES[name] ?? "";
}

const app = createApp({
  now,
  version: BENCH_VERSION,
  syncer,
  fetch: fetcher,
  changed,
  assets: {
    css: file("bench.css"),
    font: Object.values(BENCH_FILES).find((address) => FONT.test(address)) ?? "",
    page: file("page.js"),
    scan: file("scan.js"),
    manifest: file("manifest.webmanifest"),
    icon: file("icon-192.png"),
  },
});

async function readKept(url: string): Promise<Response> {
  return (await findFile(caches, BENCH_VERSION, new Request(url))) ?? fetch(url);
}

const wanted = self.navigator.languages;
const learnt = learnLanguage(catalogue, "bench", wanted, BENCH_WORDS, readKept);

self.addEventListener("install", (event) =>
  event.waitUntil(keepFiles(caches, BENCH_VERSION, BENCH_FILES)),
);

self.addEventListener("activate", (event) => {
  event.waitUntil(dropOtherVersions(caches, BENCH_VERSION).then(() => self.clients.claim()));
});

self.addEventListener("message", (event) => {
  const kind = (event.data as { kind?: string } | null)?.kind;
  // Only a person's own wish replaces the version that is at work.
  if (kind === "take-over") event.waitUntil(self.skipWaiting());
  const port = event.ports[0];
  if (kind === "line" && port) answerLine(port, location.href, answerForm);
});

/** The page asks for a sync often enough that this worker is there while what was kept is sent. */
async function answerForm(request: Request, form: FormData): Promise<LineAnswer> {
  await learnt;
  const waitUntil = (promise: Promise<unknown>) => void promise.catch(() => undefined);
  return writtenOut(await app.fetch(request, { form, waitUntil }));
}

self.addEventListener("sync", (event) => {
  const { tag } = event as SyncEvent;
  if (tag === SYNC_TAG) (event as SyncEvent).waitUntil(waking.woken(sendInBackground));
});

/** What fails here is asked for again by the browser, also when no page is open. */
async function sendInBackground(): Promise<void> {
  await learnt;
  const entries = await syncer.sync({ force: true });
  const photos = await syncer.photos({ force: true });
  if (!entries.ok || !photos.ok) throw new Error(entries.message || photos.message);
}

/** A form that another site sends here would be answered too; only our own pages may write. */
function isForeignForm({ method, mode, referrer }: Request): boolean {
  return (
    method === "POST" &&
    mode === "navigate" &&
    !referrer.startsWith(`${self.location.origin}/bench/`)
  );
}

async function answer(event: FetchEvent): Promise<Response> {
  await learnt;
  if (isForeignForm(event.request)) return sayPlainly(say("trouble.foreign"), 403);
  const waitUntil = (promise: Promise<unknown>) => event.waitUntil(promise.catch(() => undefined));
  const own = await app.fetch(event.request, { waitUntil });
  if (own.status !== 404 || event.request.method !== "GET") return own;
  // Not ours: the server has the page that installs and enrols.
  return fetch(event.request);
}

/** Not enrolled and no signal: all this phone can show is what it keeps from before it was signed out. */
async function unreachable(): Promise<Response> {
  const { problem } = await getSyncFacts();
  if (problem === "revoked") return app.fetch(new Request(new URL("/bench/kept", location.href)));
  return sayPlainly(say("trouble.unreachable"), 503);
}

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (url.origin !== self.location.origin) return;
  if (url.pathname === GLYPH_SHEET) {
    event.respondWith(readKept(file("glyphs.svg")));
  } else if (url.pathname.startsWith("/bench/")) {
    event.respondWith(answer(event).catch(unreachable));
  } else if (event.request.method === "GET" && Object.values(BENCH_FILES).includes(url.pathname)) {
    event.respondWith(
      findFile(caches, BENCH_VERSION, event.request).then((kept) => kept ?? fetch(event.request)),
    );
  }
});
