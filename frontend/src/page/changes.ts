/* Hears from the worker that a job or the state of sending changed, and asks for that part again. */
import { pageId } from "./page-id";

type Announcement =
  | { kind: "changed"; jobs: string[]; from?: string }
  | { kind: "truth" }
  | { kind: "signed-out" };

function concerns(jobs: string[]): boolean {
  const shown = document.body.dataset.job;
  return shown === undefined || jobs.includes(shown);
}

function hear(announcement: Announcement): void {
  if (announcement.kind === "truth") {
    document.body.dispatchEvent(new CustomEvent("bench:truth"));
  } else if (announcement.kind === "signed-out") {
    // Nothing of the shop is on this phone any more: what is on the screen must go too.
    location.assign("/bench/enrol");
  } else if (announcement.from !== pageId && concerns(announcement.jobs)) {
    document.body.dispatchEvent(new CustomEvent("bench:changed"));
  }
}

export function listenForChanges(): void {
  const channel = new BroadcastChannel("bench");
  channel.addEventListener("message", (event: MessageEvent<Announcement>) => hear(event.data));
  window.addEventListener("load", catchUp);
}

/** A page that says that something is on its way may have been drawn before the last announcement. */
function catchUp(): void {
  if (document.querySelector("#truth:not(.sent)")) hear({ kind: "truth" });
}
