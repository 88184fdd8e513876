/* The install page of the server: registers the worker, makes this phone known, and fetches the jobs. */
import { rich, say } from "../words/page";
import { listBeen } from "./been";
import { dropSecret, grouped, keepSecret, secretIn } from "./code";
import { askJson, type DeviceState, type Enrolled, enrol, handOver, Refused } from "./enrol";
import { isAppleTab, showHomeScreenHelp } from "./home-screen";
import { InstallView } from "./install-view";
import { findStorage } from "./storage";
import { register, waitForController } from "./worker-start";

type SyncAnswer = { ok: boolean; message: string; jobs: number };

const RELOADED = "bench-reloaded-at";
const SOON_MS = 10_000;

export async function installBench(place: HTMLElement, secret: string): Promise<void> {
  const view = new InstallView(place);
  await guarded(view, () => install(view, secret));
}

async function guarded(view: InstallView, work: () => Promise<void>): Promise<void> {
  try {
    await work();
  } catch (error) {
    view.tell([error instanceof Refused ? error.message : say("install.no-connection")], true);
  }
}

async function install(view: InstallView, secret: string): Promise<void> {
  if (secret && isAppleTab()) await view.choseThisTab(grouped(secret));
  view.tell([say("install.starting")]);
  if (!(await waitForController(await register()))) return reloadOnce(view);
  let state = await askState();
  if (isKnown(state) && secret) {
    // The desk may have signed it out, and this phone has not heard of it yet.
    await sync().catch(() => undefined);
    state = await askState();
  }
  if (!isKnown(state)) return makeKnown(view, state, secret);
  dropSecret();
  if (secret) view.tell(rich("enrol.known-already", { open: view.linkToJobs }));
  else leave(view);
}

const askState = () => askJson<DeviceState>("/bench/device");

function isKnown(state: DeviceState): boolean {
  return state.enrolled && !state.sign_in_again && !state.revoked;
}

/** The browser has thrown the worker's database away, and nothing else. */
function isCleared(state: DeviceState): boolean {
  return state.former.length === 0 && listBeen().length > 0;
}

async function makeKnown(view: InstallView, state: DeviceState, secret: string): Promise<void> {
  const begin = (typed: string) => guarded(view, () => become(view, state, typed));
  view.onCode((typed) => {
    keepSecret(secretIn(typed));
    void begin(secretIn(typed));
  });
  view.onOwn(() => void begin(""));
  if (secret) return begin(secret);
  // Whom the desk has signed out does not come back unasked.
  if (view.person && !state.revoked && !isCleared(state)) return begin("");
  view.tell(whyAsked(view, state), state.revoked || isCleared(state));
  view.askForCode();
}

function whyAsked(view: InstallView, state: DeviceState): (string | Node)[] {
  const { entries, photos, walkIns, refused } = state.kept;
  const told = [say("enrol.code-wanted")];
  if (entries) told.unshift(say("enrol.kept-entries", { n: entries }));
  if (photos) told.unshift(say("enrol.kept-photos", { n: photos }));
  if (state.revoked) told.unshift(say("enrol.revoked"));
  else if (isCleared(state)) told.unshift(say("enrol.cleared"));
  const see = rich("enrol.see-kept", { kept: view.linkToKept });
  return entries + photos + walkIns + refused > 0
    ? [told.join(" "), " ", ...see]
    : [told.join(" ")];
}

async function become(view: InstallView, state: DeviceState, secret: string): Promise<void> {
  view.tell([say("install.making-known")]);
  view.askForNothing();
  let answer: Enrolled;
  try {
    answer = await enrol({ secret, csrf: view.csrf, former: state.former });
  } catch (error) {
    if (error instanceof Refused) {
      dropSecret();
      view.askForCode();
    }
    throw error;
  }
  await handOver(answer, await findStorage());
  dropSecret();
  view.tell([say("install.fetching")]);
  const fetched = await sync();
  if (!fetched.ok) throw new Refused(fetched.message);
  const lost = state.former.length === 0 ? lostWords(answer.lost) : [];
  if (!secret && lost.length === 0) return leave(view, true);
  await showReady(view, answer, fetched.jobs, lost);
}

function lostWords({ entries, photos }: Enrolled["lost"]): string[] {
  const told = [];
  if (entries) told.push(say("enrol.lost-entries", { n: entries }));
  if (photos) told.push(say("enrol.lost-photos", { n: photos }));
  return told.length ? [...told, say("enrol.lost-tell")] : [];
}

async function showReady(
  view: InstallView,
  answer: Enrolled,
  jobs: number,
  lost: string[],
): Promise<void> {
  const names = { name: answer.name, shop: answer.workshop_name };
  view.tell([say("enrol.ready", names), " ", say("install.jobs", { n: jobs })]);
  if (lost.length) view.warn(lost.join(" "));
  view.showDone(pathAfter());
  showHomeScreenHelp(view.homeScreen);
  await askToProtect(view);
}

/** Some browsers ask the person, who may take their time. */
async function askToProtect(view: InstallView): Promise<void> {
  await navigator.storage?.persist?.().catch(() => false);
  const storage = await findStorage();
  if (storage) view.note(say(`enrol.storage-${storage === "protected" ? "safe" : "open"}`));
  await sync({ "X-Open": "", "X-Storage": storage }).catch(() => undefined);
}

function sync(headers: Record<string, string> = {}): Promise<SyncAnswer> {
  const accept = { Accept: "application/json", ...headers };
  return askJson<SyncAnswer>("/bench/sync", { method: "POST", headers: accept });
}

/** The tag on a bike opens its job: stay on the address that was asked for, unless it only exists here. */
function pathAfter(): string {
  return location.pathname === "/bench/enrol" ? "/bench/" : location.pathname;
}

function leave(view: InstallView, fresh = false): void {
  if (location.pathname !== pathAfter()) location.replace(pathAfter());
  else if (fresh) location.reload();
  else reloadOnce(view);
}

/** An address the worker does not know comes back to this page: it must not go round for ever. */
function reloadOnce(view: InstallView): void {
  const before = Number(sessionStorage.getItem(RELOADED) ?? 0);
  sessionStorage.setItem(RELOADED, String(Date.now()));
  if (Date.now() - before > SOON_MS) location.reload();
  else view.tell(rich("install.there", { open: view.linkToJobs }));
}
