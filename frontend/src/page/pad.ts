/* The number pad of a reading: big keys for gloves, the same result as typing on a keyboard. */

import { press } from "./pad-keys";

const PAD = "[data-pad]";

function fieldOf(pad: Element): HTMLInputElement | null {
  return document.querySelector<HTMLInputElement>(`#${pad.getAttribute("data-pad")}`);
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

/** A value from before goes into the pad with its unit, as if it had been typed. */
function onFill(event: Event): void {
  const button = (event.target as Element).closest<HTMLElement>("[data-fill]");
  const form = button?.closest("form");
  const field = form?.querySelector<HTMLInputElement>(`${PAD} input`);
  if (!button || !form || !field) return;
  const { fill = "", fillUnit = "" } = button.dataset;
  const unit = form.elements.namedItem("unit");
  if (unit && "value" in unit) unit.value = fillUnit;
  field.value = fill;
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

export function startPad(): void {
  // The phone's own keyboard would cover the pad; a real keyboard still works.
  for (const pad of document.querySelectorAll(PAD)) {
    if (matchMedia("(pointer: coarse)").matches) fieldOf(pad)?.setAttribute("inputmode", "none");
  }
  document.addEventListener("click", onKey);
  document.addEventListener("click", onFill);
  document.addEventListener("keydown", onTyped);
}
