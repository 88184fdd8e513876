/* Virtual time: everything that happens is an event with a moment, and between two events nothing runs. */
import { createHash } from "node:crypto";

/** Somebody whose events stop when it is gone: one run of a phone's worker, one window. */
export type Owner = { alive: boolean };

type Event = { at: number; order: number; owner: Owner; run: () => void };

export const EVER: Owner = { alive: true };
/** More events than this in one run mean that something goes round for ever. */
const MOST_EVENTS = 400_000;

export class World {
  now: number;
  #heap: Event[] = [];
  #order = 0;
  #events = 0;
  #hash = createHash("sha256");
  readonly counts = new Map<string, number>();
  readonly lines: string[] | undefined;
  readonly start: number;

  constructor(start: number, keepTrace: boolean) {
    this.start = start;
    this.now = start;
    this.lines = keepTrace ? [] : undefined;
  }

  /** Runs `run` after so many milliseconds, unless its owner is gone by then. */
  after(ms: number, owner: Owner, run: () => void): void {
    this.#push({ at: this.now + Math.max(0, ms), order: this.#order++, owner, run });
  }

  async sleep(ms: number, owner: Owner = EVER): Promise<void> {
    return new Promise((resolve) => this.after(ms, owner, resolve));
  }

  /** What happened, for the trace and its hash. */
  note(text: string): void {
    this.#hash.update(`${this.now} ${text}\n`);
    this.lines?.push(`${((this.now - this.start) / 1000).toFixed(3).padStart(9)}  ${text}`);
  }

  count(what: string, by = 1): void {
    this.counts.set(what, (this.counts.get(what) ?? 0) + by);
  }

  digest(): string {
    return this.#hash.copy().digest("hex");
  }

  /** Lives through all events up to a moment, or until `done` says so. */
  async run(until: number, done: () => boolean = () => false): Promise<void> {
    await settle();
    while (!done()) {
      const next = this.#heap[0];
      if (!next || next.at > until) break;
      this.#pop();
      if (!next.owner.alive) continue;
      this.#events += 1;
      if (this.#events > MOST_EVENTS) throw new Error("more events than any run needs");
      this.now = next.at;
      next.run();
      await settle();
    }
    if (!done() && until !== Number.POSITIVE_INFINITY) this.now = Math.max(this.now, until);
  }

  #push(event: Event): void {
    const heap = this.#heap;
    let at = heap.push(event) - 1;
    while (at > 0) {
      const up = (at - 1) >> 1;
      if (!isBefore(event, heap[up] as Event)) break;
      heap[at] = heap[up] as Event;
      at = up;
    }
    heap[at] = event;
  }

  #pop(): void {
    const heap = this.#heap;
    const last = heap.pop() as Event;
    if (heap.length === 0) return;
    let at = 0;
    for (;;) {
      let down = 2 * at + 1;
      if (down >= heap.length) break;
      if (down + 1 < heap.length && isBefore(heap[down + 1] as Event, heap[down] as Event))
        down += 1;
      if (!isBefore(heap[down] as Event, last)) break;
      heap[at] = heap[down] as Event;
      at = down;
    }
    heap[at] = last;
  }
}

function isBefore(one: Event, other: Event): boolean {
  return one.at < other.at || (one.at === other.at && one.order < other.order);
}

/** Lets everything run that waits for no event: promises, and streams of Node itself. */
function settle(): Promise<void> {
  return new Promise((resolve) => setImmediate(resolve));
}
