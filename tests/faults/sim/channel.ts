/* BroadcastChannel among the windows and workers of one phone, and the caches they share. */
import type { Owner } from "./world";

type Listener = (event: { data: unknown }) => void;
type Later = (owner: Owner, run: () => void) => void;
type Member = { owner: Owner; name: string; hear: (data: unknown) => void };

export class Channels {
  #members: Member[] = [];
  readonly #later: Later;

  constructor(later: Later) {
    this.#later = later;
  }

  face(owner: Owner): new (name: string) => object {
    const join = (member: Member) => void this.#members.push(member);
    const send = (from: Member, data: unknown) => this.#send(from, data);
    return class {
      onmessage: Listener | null = null;
      readonly #listeners = new Set<Listener>();
      readonly #me: Member;
      constructor(name: string) {
        this.#me = { owner, name, hear: (data) => this.#hear(data) };
        join(this.#me);
      }
      #hear(data: unknown): void {
        this.onmessage?.({ data });
        for (const listen of this.#listeners) listen({ data });
      }
      addEventListener(_type: string, listen: Listener): void {
        this.#listeners.add(listen);
      }
      postMessage(data: unknown): void {
        send(this.#me, structuredClone(data));
      }
      close(): void {
        this.#listeners.clear();
      }
    };
  }

  #send(from: Member, data: unknown): void {
    this.#members = this.#members.filter((each) => each.owner.alive);
    for (const member of this.#members) {
      if (member !== from && member.name === from.name)
        this.#later(member.owner, () => member.hear(data));
    }
  }
}

/** The files of the bench are always there: how they come is not what is tried here. */
export function cachesOf(): object {
  const cache = {
    addAll: async () => undefined,
    match: async () => new Response("kept"),
    put: async () => undefined,
  };
  return {
    open: async () => cache,
    keys: async () => [],
    delete: async () => true,
    match: async () => new Response("kept"),
  };
}
