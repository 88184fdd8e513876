/* Tells the pages that the truth line changed, and keeps quiet while it says the same. */
import { readFrameFacts } from "../store/meta";
import { countKept } from "../store/outbox";
import { truthInShort } from "../views/truth";

export type Teller = {
  /** To be called whenever the state of sending may have changed. */
  told: () => Promise<void>;
  /** A page drew the line by itself: what was told last is no longer what it shows. */
  forget: () => void;
};

type TellerDeps = { now: () => Date; isRunning: () => boolean; tell: () => void };

export function createTeller({ now, isRunning, tell }: TellerDeps): Teller {
  let last: string | undefined;

  async function told(): Promise<void> {
    const running = isRunning();
    const [kept, { workshop, facts }] = await Promise.all([countKept(), readFrameFacts()]);
    const clock = { now: now(), timezone: workshop?.timezone ?? "UTC" };
    const line = truthInShort({ kept, facts, running, clock });
    if (line === last) return;
    last = line;
    tell();
  }

  const forget = () => {
    last = undefined;
  };
  return { told, forget };
}
