/* Decides when the page asks the worker to send and fetch: on load, on signal, on sight, and every 20 s. */

const EVERY_MS = 20_000;

function askForSync(trigger: "page" | "online"): void {
  if (document.visibilityState !== "visible") return;
  // The answer comes by announcement; a failed ask is repeated by the next trigger.
  fetch("/bench/sync", { method: "POST", headers: { "X-Trigger": trigger } }).catch(
    () => undefined,
  );
}

export function startSync(): void {
  askForSync("page");
  window.addEventListener("online", () => askForSync("online"));
  document.addEventListener("visibilitychange", () => askForSync("page"));
  setInterval(() => askForSync("page"), EVERY_MS);
}
