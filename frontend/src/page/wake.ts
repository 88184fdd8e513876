/* Keeps the screen awake while a job is open: hands at the stand cannot wake it. */

let lock: WakeLockSentinel | null = null;

async function request(): Promise<void> {
  if (document.visibilityState !== "visible" || (lock && !lock.released)) return;
  try {
    lock = await navigator.wakeLock.request("screen");
  } catch {
    // Low battery or a refusal: the screen sleeps as it always did, nothing is lost.
    lock = null;
  }
}

export function keepAwake(): void {
  if (document.body.dataset.job === undefined || !("wakeLock" in navigator)) return;
  void request();
  document.addEventListener("visibilitychange", () => void request());
}
