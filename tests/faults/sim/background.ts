/* Background Sync: the browser wakes the worker when there is signal, in Chromium. */
import type { Phone } from "./phone";
import type { Owner } from "./world";

/** `waitUntil` of an event: the worker is not stopped over it unless the plan says so. */
export const keep = (promise: Promise<unknown>): void => void promise.catch(() => undefined);

const LOOKS_EVERY_MS = 5_000;

export class Background {
  readonly #phone: Phone;
  #asked: Owner = { alive: false };

  constructor(phone: Phone) {
    this.#phone = phone;
  }

  ask(): void {
    if (this.#asked.alive) return;
    this.#asked = { alive: true };
    this.#phone.after(this.#phone.random.between(500, 20_000), this.#asked, () => this.#look());
  }

  #look(): void {
    const phone = this.#phone;
    if (!phone.line.online || phone.gone) {
      phone.after(LOOKS_EVERY_MS, this.#asked, () => this.#look());
      return;
    }
    this.#asked.alive = false;
    for (const handle of phone.worker().listeners.get("sync") ?? [])
      handle({ tag: "bench-sync", waitUntil: keep });
  }

  /** Whatever was asked for is forgotten with the browser's data. */
  forget(): void {
    this.#asked.alive = false;
  }
}
