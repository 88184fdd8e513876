/* navigator.locks of one phone: shared by all its windows, given back when the holder is gone. */
import type { Owner } from "./world";

type Options = { mode?: "exclusive" | "shared"; ifAvailable?: boolean; signal?: AbortSignal };
type Lock = { name: string; mode: string };
type Work = (lock: Lock | null) => unknown;
type Held = { owner: Owner; name: string; mode: string };
type Waiting = { held: Held; start: () => void };

export class Locks {
  #held: Held[] = [];
  #waiting: Waiting[] = [];
  readonly #later: (owner: Owner, run: () => void) => void;

  constructor(later: (owner: Owner, run: () => void) => void) {
    this.#later = later;
  }

  /** The lock manager as one run of a worker sees it. */
  face(owner: Owner): object {
    return {
      request: (name: string, options: Options | Work, work?: Work) =>
        typeof options === "function"
          ? this.#request(owner, name, {}, options)
          : this.#request(owner, name, options, work as Work),
      query: async () => ({
        held: this.#held.map(({ name, mode }) => ({ name, mode })),
        pending: this.#waiting.map(({ held: { name, mode } }) => ({ name, mode })),
      }),
    };
  }

  async #request(owner: Owner, name: string, options: Options, work: Work): Promise<unknown> {
    options.signal?.throwIfAborted();
    const held: Held = { owner, name, mode: options.mode ?? "exclusive" };
    if (this.#isFree(held)) this.#held.push(held);
    else if (options.ifAvailable) return work(null);
    else await this.#wait(held, options.signal);
    try {
      return await work({ name, mode: held.mode });
    } finally {
      this.#held = this.#held.filter((each) => each !== held);
      this.#next();
    }
  }

  #wait(held: Held, signal?: AbortSignal): Promise<void> {
    return new Promise((resolve, reject) => {
      const waiting: Waiting = { held, start: resolve };
      this.#waiting.push(waiting);
      signal?.addEventListener("abort", () => {
        this.#waiting = this.#waiting.filter((each) => each !== waiting);
        reject(signal.reason);
      });
    });
  }

  #isFree({ name, mode }: Held): boolean {
    const same = this.#held.filter((each) => each.name === name);
    return mode === "shared" ? same.every((each) => each.mode === "shared") : same.length === 0;
  }

  #next(): void {
    for (const waiting of [...this.#waiting]) {
      if (!this.#isFree(waiting.held)) continue;
      this.#waiting = this.#waiting.filter((each) => each !== waiting);
      this.#held.push(waiting.held);
      this.#later(waiting.held.owner, waiting.start);
    }
  }

  /** Whoever is gone holds nothing and waits for nothing. */
  drop(owner: Owner): void {
    this.#held = this.#held.filter((each) => each.owner !== owner);
    this.#waiting = this.#waiting.filter((each) => each.held.owner !== owner);
    this.#next();
  }
}
