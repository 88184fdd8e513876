/* The one pinned copy of htmx, set up for a strict content policy: it swaps nothing on a failed answer. */
import htmx from "htmx.org";
import { isPatchable, patch, refill } from "./patch";

// Pages are real pages here: the browser's own history is right, and htmx's would ask twice.
htmx.config.history = false;
htmx.config.includeIndicatorCSS = false;
htmx.config.noSwap = [204, 304, 400, 401, 403, 404, 405, 409, 413, "5xx"] as unknown as number[];

type Task = {
  fragment: DocumentFragment;
  target: Element | string | null;
  swapSpec: { style: string; strip?: boolean };
};

/** What is to be wired, when the task is done; the others are left to htmx. */
function patched({ fragment, target, swapSpec }: Task): Element[] | undefined {
  const old = typeof target === "string" ? document.querySelector(target) : target;
  const fresh = fragment.firstElementChild;
  if (!old || !fresh || fragment.childElementCount !== 1 || !isPatchable(old, fresh))
    return undefined;
  if (swapSpec.style === "outerMorph") return patch(old, fresh);
  if (swapSpec.style === "innerHTML" && swapSpec.strip) return refill(old, fresh);
  return undefined;
}

function isLeft(task: Task): boolean {
  const wiring = patched(task);
  for (const element of wiring ?? []) htmx.process(element, true);
  return wiring === undefined;
}

// Each part that htmx swaps costs a dozen events: on a slow phone more than all that a tick changes.
document.addEventListener("htmx:before:swap", (event) => {
  const { tasks } = (event as CustomEvent<{ tasks: Task[] }>).detail;
  tasks.splice(0, tasks.length, ...tasks.filter(isLeft));
});

export { htmx };
