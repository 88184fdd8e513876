/* Chance out of a seed: the same name gives the same numbers, and no stream disturbs another. */

export class Random {
  #a: number;
  #b: number;
  #c: number;
  #counter = 1;
  readonly name: string;

  constructor(name: string) {
    this.name = name;
    const hash = hasher(name);
    this.#a = hash();
    this.#b = hash();
    this.#c = hash();
    for (let turn = 0; turn < 12; turn += 1) this.#word();
  }

  /** 32 bits of a small fast counting generator. */
  #word(): number {
    const sum = (this.#a + this.#b + this.#counter) | 0;
    this.#counter = (this.#counter + 1) | 0;
    this.#a = this.#b ^ (this.#b >>> 9);
    this.#b = (this.#c + (this.#c << 3)) | 0;
    this.#c = (((this.#c << 21) | (this.#c >>> 11)) + sum) | 0;
    return sum >>> 0;
  }

  /** From 0 up to, not including, 1. */
  next(): number {
    return this.#word() / 4294967296;
  }

  between(low: number, high: number): number {
    return low + this.next() * (high - low);
  }

  /** A whole number from `low` to `high`, both possible. */
  int(low: number, high: number): number {
    return low + Math.floor(this.next() * (high - low + 1));
  }

  chance(share: number): boolean {
    return this.next() < share;
  }

  pick<T>(list: readonly T[]): T {
    const one = list[Math.floor(this.next() * list.length)];
    if (one === undefined) throw new Error("nothing to pick from");
    return one;
  }

  /** Picks by weight; the weights need not add up to anything. */
  weighted<T extends string>(weights: Readonly<Record<T, number>>): T {
    const names = Object.keys(weights) as T[];
    let left = this.next() * names.reduce((sum, name) => sum + weights[name], 0);
    for (const name of names) {
      left -= weights[name];
      if (left < 0) return name;
    }
    return names[names.length - 1] as T;
  }

  bytes(count: number): Uint8Array<ArrayBuffer> {
    const made = new Uint8Array(count);
    for (let at = 0; at < count; at += 1) made[at] = this.#word() >>> 24;
    return made;
  }

  /** A version 4 identifier. */
  uuid(): string {
    const bytes = this.bytes(16);
    bytes[6] = ((bytes[6] ?? 0) & 0x0f) | 0x40;
    bytes[8] = ((bytes[8] ?? 0) & 0x3f) | 0x80;
    const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
  }

  fork(name: string): Random {
    return new Random(`${this.name}/${name}`);
  }
}

/** Spreads a text over as many words as are asked for. */
function hasher(text: string): () => number {
  let state = 1779033703 ^ text.length;
  for (let at = 0; at < text.length; at += 1) {
    state = Math.imul(state ^ text.charCodeAt(at), 3432918353);
    state = (state << 13) | (state >>> 19);
  }
  return () => {
    state = Math.imul(state ^ (state >>> 16), 2246822507);
    state = Math.imul(state ^ (state >>> 13), 3266489909);
    state ^= state >>> 16;
    return state >>> 0;
  };
}
