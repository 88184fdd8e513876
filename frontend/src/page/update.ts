/* Offers a new version of the bench, never in the middle of something half typed. */

function isHalfTyped(): boolean {
  const fields = document.querySelectorAll<HTMLInputElement | HTMLTextAreaElement>(
    "main input:not([type=hidden]):not([type=file]):not([type=radio]):not([type=checkbox]), main textarea",
  );
  return [...fields].some((field) => field.value.trim() !== field.defaultValue.trim());
}

function takeOver(waiting: ServiceWorker): void {
  navigator.serviceWorker.addEventListener("controllerchange", () => location.reload(), {
    once: true,
  });
  waiting.postMessage({ kind: "take-over" });
}

function show(registration: ServiceWorkerRegistration): void {
  const line = document.querySelector<HTMLElement>("#new-version");
  const button = line?.querySelector("button");
  if (!line || !button || !registration.waiting || !navigator.serviceWorker.controller) return;
  line.hidden = isHalfTyped();
  button.onclick = () => {
    if (registration.waiting && !isHalfTyped()) takeOver(registration.waiting);
  };
}

export async function offerNewVersion(): Promise<void> {
  if (!("serviceWorker" in navigator)) return;
  const registration = await navigator.serviceWorker.getRegistration("/bench/");
  if (!registration) return;
  show(registration);
  registration.addEventListener("updatefound", () => {
    registration.installing?.addEventListener("statechange", () => show(registration));
  });
  document.addEventListener("input", () => show(registration));
}
