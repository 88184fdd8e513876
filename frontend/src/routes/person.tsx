/* Who works at this phone. */
import { listHands } from "../store/hands";
import { setPerson } from "../store/meta";
import { HandsLine } from "../views/hands";
import { NothingKept } from "../views/kept-line";
import { Who } from "../views/who";
import { say } from "../words/bench";
import type { BenchContext } from "./deps";
import { loadFrame } from "./load";
import { formOf, textOf } from "./record";
import { sayPlainly, showFragment } from "./respond";
import type { Router } from "./router";

export function personRoutes(app: Router): void {
  app.post("/bench/person", choose);
}

/** What is typed stays: only the name changes, and what the page shows of this person. */
async function choose(c: BenchContext): Promise<Response> {
  const form = await formOf(c);
  const frame = await loadFrame(c);
  const person = frame.workshop?.people.find((each) => each.id === textOf(form, "person"));
  if (!person) return sayPlainly(say("person.gone"), 409);
  await setPerson(person.id);
  const hands = await listHands(person.id);
  const now = { ...frame, person, me: person.id, hands };
  const answer = await showFragment(
    <>
      <Who frame={now} />
      <HandsLine frame={now} oob />
      <NothingKept />
    </>,
  );
  answer.headers.set("HX-Trigger", "bench:changed");
  return answer;
}
