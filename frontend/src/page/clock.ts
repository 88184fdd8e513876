/* Keeps the running times on the page true, and has the bench look again when it is time to ask. */

const EVERY_MS = 15_000;
const MINUTE_MS = 60_000;

/** “0:42”: hours and minutes since an instant. See also running in views/hands-model.ts. */
export function since(iso: string, now: number): string {
  const minutes = Math.max(0, Math.floor((now - Date.parse(iso)) / MINUTE_MS));
  return `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, "0")}`;
}

function look(): void {
  if (document.visibilityState !== "visible") return;
  const now = Date.now();
  for (const element of document.querySelectorAll<HTMLElement>("[data-since]"))
    element.textContent = since(element.dataset.since ?? "", now);
  const line = document.querySelector<HTMLElement>("[data-ask-at]");
  if (line && Number(line.dataset.askAt) <= now)
    document.body.dispatchEvent(new CustomEvent("bench:hands"));
}

export function startClock(): void {
  setInterval(look, EVERY_MS);
  document.addEventListener("visibilitychange", look);
}
