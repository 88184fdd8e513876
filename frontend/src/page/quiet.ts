/* Puts off what can wait until the hands rest, so that it is not in the way of the next tap. Knows no page. */

const QUIET_MS = 400;
/** Somebody who taps without a pause wants to see it too. */
const LONGEST_MS = 3_000;

type Clock = { now: () => number; later: (work: () => void, ms: number) => unknown };

/** Works asked for under one name become one. */
export class Quiet {
  #clock: Clock;
  #touchedAt = Number.NEGATIVE_INFINITY;
  #waiting = new Map<string, () => void>();
  #since = 0;
  #running = false;

  constructor(clock: Clock) {
    this.#clock = clock;
  }

  /** A hand was on the screen. */
  touched(): void {
    this.#touchedAt = this.#clock.now();
  }

  whenQuiet(name: string, work: () => void): void {
    if (this.#waiting.size === 0) this.#since = this.#clock.now();
    this.#waiting.set(name, work);
    if (this.#running) return;
    this.#running = true;
    this.#clock.later(() => this.#look(), QUIET_MS);
  }

  #look(): void {
    const now = this.#clock.now();
    const quietAt = this.#touchedAt + QUIET_MS;
    if (now < quietAt && now - this.#since < LONGEST_MS) {
      this.#clock.later(() => this.#look(), quietAt - now);
      return;
    }
    this.#running = false;
    const works = [...this.#waiting.values()];
    this.#waiting.clear();
    for (const work of works) work();
  }
}
