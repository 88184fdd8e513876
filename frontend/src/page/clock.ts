/* Keeps the running times on the page true, and has the bench look again when it is time to ask. */
import { say } from "../words/page";
import { spanSince } from "../words/span";

const EVERY_MS = 15_000;

function inWords(since: string, now: number): string {
  const { key, values } = spanSince(since, now);
  return say(`span.${key}`, values);
}

function look(): void {
  if (document.visibilityState !== "visible") return;
  const now = Date.now();
  for (const element of document.querySelectorAll<HTMLElement>("[data-since]"))
    element.textContent = inWords(element.dataset.since ?? "", now);
  const line = document.querySelector<HTMLElement>("[data-ask-at]");
  if (line && Number(line.dataset.askAt) <= now)
    document.body.dispatchEvent(new CustomEvent("bench:hands"));
}

export function startClock(): void {
  setInterval(look, EVERY_MS);
  document.addEventListener("visibilitychange", look);
}
