/* The install page of the server: registers the worker, enrols this phone, fetches the jobs, then reloads once. */
import { v7 } from "uuid";

type DeviceState = { enrolled: boolean; sign_in_again: boolean };
type Enrolled = { device: string; token: string; person?: string; epoch?: string };
type SyncAnswer = { ok: boolean; message: string; jobs: number };

const FIRST_START_MS = 8000;
/** A worker that was there before takes this page over only by a reload. */
const THERE_BEFORE_MS = 500;

const NOT_WHOLE =
  "The bench could not be fetched whole. Stay where there is signal and open this page again; if it happens twice, tell the desk.";

class InstallProblem extends Error {}

function say(place: HTMLElement, sentence: string, problem = false): void {
  const line = place.querySelector<HTMLElement>("[data-install-line]") ?? place;
  line.textContent = sentence;
  line.setAttribute("role", problem ? "alert" : "status");
}

function meta(name: string): string {
  return document.querySelector<HTMLMetaElement>(`meta[name="${name}"]`)?.content ?? "";
}

/** True when the worker was at work before this page. */
async function register(): Promise<boolean> {
  if (!("serviceWorker" in navigator)) {
    throw new InstallProblem(
      "This browser cannot keep the bench without signal. Open this page in an up-to-date Chrome, Safari or Firefox, not in a private window.",
    );
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
      else if (worker.state === "redundant") reject(new InstallProblem(NOT_WHOLE));
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
    return "You are signed out. Sign in, then open the bench again.";
  }
  const body = (await response.json().catch(() => ({}))) as { message?: string };
  return body.message ?? `The server answered ${response.status}. Try again in a minute.`;
}

function deviceName(): string {
  const kind = /iPad|Tablet/i.test(navigator.userAgent)
    ? "Tablet"
    : /Mobi|iPhone|Android/i.test(navigator.userAgent)
      ? "Phone"
      : "Computer";
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
  say(place, "Fetching the jobs. This takes a few seconds the first time.");
  const answer = await json<SyncAnswer>("/bench/sync", {
    method: "POST",
    headers: { Accept: "application/json" },
  });
  if (!answer.ok) throw new InstallProblem(answer.message);
  say(
    place,
    answer.jobs === 1
      ? "1 job is on this phone now."
      : `${answer.jobs} jobs are on this phone now.`,
  );
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
  say(place, "The bench is on this phone. ");
  const link = document.createElement("a");
  link.href = "/bench/";
  link.textContent = "Open the jobs.";
  place.querySelector("[data-install-line]")?.append(link);
}

async function install(place: HTMLElement): Promise<void> {
  say(place, "Putting the bench on this phone.");
  const before = await register();
  if (!(await waitForController(before ? THERE_BEFORE_MS : FIRST_START_MS))) {
    reloadOnce(place);
    return;
  }
  const state = await json<DeviceState>("/bench/device");
  const fresh = !state.enrolled || state.sign_in_again;
  if (fresh) {
    say(place, "Making this phone known to the workshop.");
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
    say(
      place,
      known
        ? error.message
        : "The bench could not be put on this phone: no connection. Come back with signal and open this page again.",
      true,
    );
  }
}
