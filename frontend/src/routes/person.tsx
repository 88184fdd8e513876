/* Who works at this phone. */
import type { Hono } from "hono/tiny";
import { setPerson } from "../store/meta";
import { PersonPage } from "../views/person-page";
import { say } from "../words/bench";
import type { BenchContext, BenchEnv } from "./deps";
import { loadFrame } from "./load";
import { formOf, textOf } from "./record";
import { goTo, ownPath, sayPlainly, showPage } from "./respond";

export function personRoutes(app: Hono<BenchEnv>): void {
  app.get("/bench/person", async (c) =>
    showPage(<PersonPage frame={await loadFrame(c)} back={backFrom(c)} />),
  );
  app.post("/bench/person", choose);
}

function backFrom(c: BenchContext): string {
  const { referrer } = c.req.raw;
  if (!referrer?.startsWith("http")) return "/bench/";
  return ownPath(new URL(referrer).pathname);
}

async function choose(c: BenchContext): Promise<Response> {
  const form = await formOf(c);
  const frame = await loadFrame(c);
  const person = frame.workshop?.people.find((each) => each.id === textOf(form, "person"));
  if (!person) return sayPlainly(say("person.gone"), 409);
  await setPerson(person.id);
  return goTo(c, ownPath(textOf(form, "back")));
}
