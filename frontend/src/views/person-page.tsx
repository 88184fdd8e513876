/* Who works at this phone now: one large button a person. */
import { say } from "../words/bench";
import { Glyph } from "./glyph";
import { type Frame, Layout } from "./layout";

export function PersonPage({ frame, back }: { frame: Frame; back: string }) {
  return (
    <Layout
      frame={frame}
      title={say("person.title")}
      back={{ href: back, word: say("person.back") }}
    >
      <h1>{say("person.heading")}</h1>
      <p class="soft">{say("person.about")}</p>
      <form method="post" action="/bench/person" class="stack tight">
        <input type="hidden" name="back" value={back} />
        {(frame.workshop?.people ?? []).map((person) => (
          <button
            type="submit"
            name="person"
            value={person.id}
            class="button large full"
            aria-pressed={person.id === frame.person?.id ? "true" : "false"}
          >
            {person.id === frame.person?.id ? <Glyph name="tick" /> : null}
            {person.name}
          </button>
        ))}
      </form>
    </Layout>
  );
}
