/* Decides when the page asks the worker to send and fetch: on load, on signal, on sight, and every 20 s. */
import { findStorage, protectAfterWriting } from "./storage";

const EVERY_MS = 20_000;

async function askForSync(trigger: "seen" | "online" | "timer"): Promise<void> {
  if (document.visibilityState !== "visible") return;
  const headers = {
    "X-Trigger": trigger,
    "X-Open": document.body.dataset.job ?? "",
    "X-Storage": await findStorage(),
  };
  // The answer comes by announcement; a failed ask is repeated by the next trigger.
  await fetch("/bench/sync", { method: "POST", headers }).catch(() => undefined);
}

export function startSync(): void {
  void askForSync("seen");
  window.addEventListener("online", () => void askForSync("online"));
  document.addEventListener("visibilitychange", () => void askForSync("seen"));
  setInterval(() => void askForSync("timer"), EVERY_MS);
  protectAfterWriting();
}
