/* When what had the focus went with an answer, the focus goes back to the last thing that is still there. */

const trail: HTMLElement[] = [];
const LONGEST = 6;
/** Focus in a field opens the phone's keyboard, which nobody asked for. */
const FIELDS = "input, textarea, select";

function stillThere(element: HTMLElement): HTMLElement | null {
  if (element.isConnected) return element;
  return element.id ? document.getElementById(element.id) : null;
}

function goBack(): void {
  if (document.activeElement !== document.body) return;
  const back = trail.map(stillThere).findLast((each) => each?.checkVisibility());
  if (back && !back.matches(FIELDS)) back.focus({ preventScroll: true });
}

export function keepFocus(): void {
  document.addEventListener("focusin", (event) => {
    trail.push(event.target as HTMLElement);
    if (trail.length > LONGEST) trail.shift();
  });
  document.addEventListener("htmx:finally:request", goBack);
}
