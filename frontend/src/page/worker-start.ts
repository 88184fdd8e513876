/* Brings the worker to life on this phone, and waits until it has taken this page over. */
import { say } from "../words/page";
import { Refused } from "./enrol";

const FIRST_START_MS = 8000;
/** A worker that was there before takes this page over only by a reload. */
const THERE_BEFORE_MS = 500;

/** True when the worker was at work before this page. */
export async function register(): Promise<boolean> {
  if (!("serviceWorker" in navigator)) throw new Refused(say("install.old-browser"));
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
      else if (worker.state === "redundant") reject(new Refused(say("install.not-whole")));
    };
    worker?.addEventListener("statechange", look);
    look();
  });
}

/** The worker takes over open pages when it starts; a hard reload is the case where it cannot. */
export async function waitForController(wasThereBefore: boolean): Promise<boolean> {
  if (navigator.serviceWorker.controller) return true;
  return new Promise((resolve) => {
    const limitMs = wasThereBefore ? THERE_BEFORE_MS : FIRST_START_MS;
    const timer = setTimeout(() => resolve(false), limitMs);
    const there = () => {
      clearTimeout(timer);
      resolve(true);
    };
    navigator.serviceWorker.addEventListener("controllerchange", there, { once: true });
  });
}
