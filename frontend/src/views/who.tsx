/* Who works at this phone: always in view, and one tap away from every large name. */
import { say } from "../words/bench";
import { Glyph } from "./glyph";
import type { Frame } from "./layout";

export function Who({ frame }: { frame: Frame }) {
  const { person, workshop } = frame;
  // A phone that came by a code has nobody at work yet: that is the first thing to say.
  const isAsking = workshop !== undefined && person === undefined;
  return (
    <details id="who" class="who" open={isAsking}>
      <summary class="home">
        <span class="hidden-text">{say("frame.at-work")} </span>
        <span class="who-name">{person?.name ?? say("frame.who")}</span>
      </summary>
      <form
        class="who-list stack tight"
        method="post"
        action="/bench/person"
        hx-post="/bench/person"
        hx-target="#who"
        hx-swap="outerMorph"
        hx-sync="this:drop"
      >
        <p>{say("person.about")}</p>
        {(workshop?.people ?? []).map((each) => (
          <button
            type="submit"
            name="person"
            value={each.id}
            class="button large full"
            aria-pressed={each.id === person?.id ? "true" : "false"}
          >
            {each.id === person?.id ? <Glyph name="tick" /> : null}
            {each.name}
          </button>
        ))}
      </form>
    </details>
  );
}
