/* The install page of the server: registers the worker, enrols this phone, fetches the jobs, then reloads once. */
import { v7 } from "uuid";
import { rich, say } from "../words/page";

type DeviceState = { enrolled: boolean; sign_in_again: boolean };
type Enrolled = { device: string; token: string; person?: string; epoch?: string };
type SyncAnswer = { ok: boolean; message: string; jobs: number };

const FIRST_START_MS = 8000;
/** A worker that was there before takes this page over only by a reload. */
const THERE_BEFORE_MS = 500;

class InstallProblem extends Error {}

function tell(place: HTMLElement, sentence: (string | Node)[], problem = false): void {
  const line = place.querySelector<HTMLElement>("[data-install-line]") ?? place;
  line.replaceChildren(...sentence);
  line.setAttribute("role", problem ? "alert" : "status");
}

function meta(name: string): string {
  return document.querySelector<HTMLMetaElement>(`meta[name="${name}"]`)?.content ?? "";
}

/** True when the worker was at work before this page. */
async function register(): Promise<boolean> {
  if (!("serviceWorker" in navigator)) {
    throw new InstallProblem(say("install.old-browser"));
  }
  const options: RegistrationOptions = { scope: "/bench/", updateViaCache: "none" };
  const registration = await navigator.serviceWorker.register("/bench/worker.js", options);
  if (registration.active?.state === "activated") return true;
  await started(registration.active ?? registration.installing ?? registration.waiting);
  return false;
}

/** A file that could not be fetched stops the installation; the browser only says "redundant". */
function started(worker: ServiceWorker | null): Promise<void> {
  return new Promise((resolve, reject) => {
    const look = () => {
      if (!worker || worker.state === "activated") resolve();
      else if (worker.state === "redundant") reject(new InstallProblem(say("install.not-whole")));
    };
    worker?.addEventListener("statechange", look);
    look();
  });
}

/** The worker takes over open pages when it starts; a hard reload is the case where it cannot. */
async function waitForController(limitMs: number): Promise<boolean> {
  if (navigator.serviceWorker.controller) return true;
  return new Promise((resolve) => {
    const timer = setTimeout(() => resolve(false), limitMs);
    navigator.serviceWorker.addEventListener(
      "controllerchange",
      () => {
        clearTimeout(timer);
        resolve(true);
      },
      { once: true },
    );
  });
}

async function json<T>(url: string, init?: RequestInit): Promise<T> {
  const response = await fetch(url, init);
  if (!response.ok) throw new InstallProblem(await refusal(response));
  return (await response.json()) as T;
}

async function refusal(response: Response): Promise<string> {
  if (response.status === 401 || response.status === 403) {
    return say("install.signed-out");
  }
  const body = (await response.json().catch(() => ({}))) as { message?: string };
  return body.message ?? say("install.answered", { status: response.status });
}

function deviceName(): string {
  const kind = /iPad|Tablet/i.test(navigator.userAgent)
    ? say("device.tablet")
    : /Mobi|iPhone|Android/i.test(navigator.userAgent)
      ? say("device.phone")
      : say("device.computer");
  return `${kind} ${v7().slice(-4)}`;
}

async function enrol(): Promise<void> {
  const headers = { "Content-Type": "application/json", "X-CSRFToken": meta("csrf-token") };
  const answer = await json<Enrolled>("/api/devices", {
    method: "POST",
    headers,
    body: JSON.stringify({ name: deviceName() }),
  });
  const handed = { person: meta("person"), ...answer };
  await json("/bench/device", {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(handed),
  });
}

async function firstSync(place: HTMLElement): Promise<void> {
  tell(place, [say("install.fetching")]);
  const answer = await json<SyncAnswer>("/bench/sync", {
    method: "POST",
    headers: { Accept: "application/json" },
  });
  if (!answer.ok) throw new InstallProblem(answer.message);
  tell(place, [say("install.jobs", { n: answer.jobs })]);
  await navigator.storage?.persist?.().catch(() => false);
}

const RELOADED = "bench-reloaded-at";
const SOON_MS = 10_000;

/** An address the worker does not know comes back to this page: it must not go round for ever. */
function reloadOnce(place: HTMLElement): void {
  const before = Number(sessionStorage.getItem(RELOADED) ?? 0);
  sessionStorage.setItem(RELOADED, String(Date.now()));
  if (Date.now() - before > SOON_MS) {
    location.reload();
    return;
  }
  tell(place, rich("install.there", { open: linkToJobs }));
}

function linkToJobs(words: string): HTMLElement {
  const link = document.createElement("a");
  link.href = "/bench/";
  link.textContent = words;
  return link;
}

async function install(place: HTMLElement): Promise<void> {
  tell(place, [say("install.starting")]);
  const before = await register();
  if (!(await waitForController(before ? THERE_BEFORE_MS : FIRST_START_MS))) {
    reloadOnce(place);
    return;
  }
  const state = await json<DeviceState>("/bench/device");
  const fresh = !state.enrolled || state.sign_in_again;
  if (fresh) {
    tell(place, [say("install.making-known")]);
    await enrol();
    await firstSync(place);
  }
  // The tag on a bike opens its job: stay on the address that was asked for, unless it only exists here.
  if (location.pathname === "/bench/enrol") location.replace("/bench/");
  else if (fresh) location.reload();
  else reloadOnce(place);
}

export async function installBench(place: HTMLElement): Promise<void> {
  try {
    await install(place);
  } catch (error) {
    const known = error instanceof InstallProblem;
    tell(place, [known ? error.message : say("install.no-connection")], true);
  }
}
