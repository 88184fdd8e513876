/* What the server would not take, with its reason: to be sent again, or taken off the list and brought back. */
import { say } from "../words/bench";
import { KeptRow } from "./kept-row";
import { type Clock, whenInWords } from "./words";

/** An entry, a photo or a walk-in; said in words already. */
export type RefusedItem = {
  what: "entry" | "photo" | "walk-in";
  id: string;
  words: string;
  why: string;
  code: string;
  at: string;
  /** What is meant for another workshop is never sent to this one. */
  sendable: boolean;
};

type ListProps = { items: RefusedItem[]; clock: Clock; enrolled: boolean };

/** A phone that belongs to no workshop can only show it. */
export function Refused({ items, clock, enrolled }: ListProps) {
  if (items.length === 0) return null;
  return (
    <section class="stack tight" id="refused">
      <h2>{say("refused.title", { n: items.length })}</h2>
      <p class="soft">{say("refused.what")}</p>
      <ul class="steps">
        {items.map((item) => (
          <KeptRow words={item.words} why={item.why} about={aboutOf(item, clock)}>
            {enrolled ? <Acts item={item} /> : null}
          </KeptRow>
        ))}
      </ul>
    </section>
  );
}

function Acts({ item }: { item: RefusedItem }) {
  return (
    <div class="button-row">
      {item.sendable ? (
        <Act item={item} act="again" words={say("refused.again")} kind="button" />
      ) : null}
      <Act item={item} act="off" words={say("refused.off")} kind="button quiet" />
    </div>
  );
}

function aboutOf({ code, at }: RefusedItem, clock: Clock): string[] {
  return [say("refused.code", { code }), say("refused.written", { when: whenInWords(at, clock) })];
}

/** Taking off the list is not asked about; it can be taken back here. */
export function Removed({ items }: { items: RefusedItem[] }) {
  if (items.length === 0) return null;
  return (
    <section class="stack tight" id="removed">
      <h2>{say("removed.title", { n: items.length })}</h2>
      <p class="soft">{say("removed.what")}</p>
      <ul class="steps">
        {items.map((item) => (
          <KeptRow words={item.words} about={[]}>
            <div class="button-row">
              <Act item={item} act="back" words={say("removed.back")} kind="button quiet" />
            </div>
          </KeptRow>
        ))}
      </ul>
    </section>
  );
}

type ActProps = { item: RefusedItem; act: "again" | "off" | "back"; words: string; kind: string };

function Act({ item, act, words, kind }: ActProps) {
  return (
    <form method="post" action={`/bench/kept/${item.what}/${item.id}/${act}`}>
      <button
        type="submit"
        class={kind}
        aria-label={say("refused.act", { act: words, of: item.words })}
      >
        {words}
      </button>
    </form>
  );
}
