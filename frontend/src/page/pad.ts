/* The number pad of a reading: big keys for gloves, the same result as typing on a keyboard. */

const PAD = "[data-pad]";

function fieldOf(pad: Element): HTMLInputElement | null {
  return document.querySelector<HTMLInputElement>(`#${pad.getAttribute("data-pad")}`);
}

/** What the field holds after one key; a reading has at most one decimal point and eight characters. */
export function press(current: string, key: string): string {
  if (key === "back") return current.slice(0, -1);
  if (key === "clear") return "";
  if (key === "." && (current.includes(".") || current.includes(","))) return current;
  if (key === "." && current === "") return "0.";
  if (current.length >= 8) return current;
  return current === "0" && key !== "." ? key : current + key;
}

function onKey(event: Event): void {
  const key = (event.target as Element).closest<HTMLElement>("[data-key]");
  const pad = key?.closest(PAD);
  const field = pad && fieldOf(pad);
  if (!key || !field) return;
  event.preventDefault();
  field.value = press(field.value, key.dataset.key ?? "");
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

/** Digits typed anywhere on the page belong to the reading, also from a measuring tool that acts as a keyboard. */
function onTyped(event: KeyboardEvent): void {
  const pad = document.querySelector(PAD);
  const field = pad && fieldOf(pad);
  const elsewhere = (event.target as Element).closest("input, textarea, select, button, a");
  if (!field || elsewhere || event.ctrlKey || event.metaKey || event.altKey) return;
  if (!/^[0-9.,]$/.test(event.key) && event.key !== "Backspace") return;
  event.preventDefault();
  field.value = press(
    field.value,
    event.key === "Backspace" ? "back" : event.key.replace(",", "."),
  );
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

export function startPad(): void {
  // The phone's own keyboard would cover the pad; a real keyboard still works.
  for (const pad of document.querySelectorAll(PAD)) {
    if (matchMedia("(pointer: coarse)").matches) fieldOf(pad)?.setAttribute("inputmode", "none");
  }
  document.addEventListener("click", onKey);
  document.addEventListener("keydown", onTyped);
}
