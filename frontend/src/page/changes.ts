/* Hears from the worker that a job or the state of sending changed, and asks for that part again. */
import { pageId } from "./page-id";
import { Quiet } from "./quiet";

type Announcement =
  | { kind: "changed"; jobs: string[]; from?: string }
  | { kind: "truth" }
  | { kind: "signed-out" };

function concerns(jobs: string[]): boolean {
  const shown = document.body.dataset.job;
  return shown === undefined || jobs.includes(shown);
}

const quiet = new Quiet({
  now: () => performance.now(),
  later: (work, ms) => setTimeout(work, ms),
});

function ask(name: "bench:truth" | "bench:changed"): void {
  quiet.whenQuiet(name, () => document.body.dispatchEvent(new CustomEvent(name)));
}

function hear(announcement: Announcement): void {
  if (announcement.kind === "truth") {
    ask("bench:truth");
  } else if (announcement.kind === "signed-out") {
    // Nothing of the shop is on this phone any more: what is on the screen must go too.
    location.assign("/bench/enrol");
  } else if (announcement.from !== pageId && concerns(announcement.jobs)) {
    ask("bench:changed");
  }
}

export function listenForChanges(): void {
  const channel = new BroadcastChannel("bench");
  document.addEventListener("pointerdown", () => quiet.touched(), { passive: true });
  document.addEventListener("keydown", () => quiet.touched(), { passive: true });
  channel.addEventListener("message", (event: MessageEvent<Announcement>) => hear(event.data));
  window.addEventListener("load", catchUp);
}

/** A page that says that something is on its way may have been drawn before the last announcement. */
function catchUp(): void {
  if (document.querySelector("#truth:not(.sent)")) hear({ kind: "truth" });
}
