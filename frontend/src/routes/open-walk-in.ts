/* Opens a job on the phone: its route composed here, its header until the desk's comes. */
import { digestOf } from "../journal/digest";
import type { Step } from "../journal/route";
import { tagCode } from "../journal/tag-code";
import { findPerson } from "../store/meta";
import type { HeaderRow, WalkInDraft } from "../store/schema";
import { keepWalkIn } from "../store/walk-ins";
import type { Catalogue, Traits } from "../trade/catalogue";
import { compose } from "../trade/compose";
import { fillDefaults, matches } from "../trade/traits";
import { jobPath } from "../views/paths";
import { say } from "../words/bench";
import { NobodyAtWork } from "./record";
import { limitOf, traitsOf } from "./walk-in-values";

export type Opening = { catalogue: Catalogue; draft: WalkInDraft; currency: string; at: string };

/** What was typed has been checked. Throws NobodyAtWork. */
export async function openWalkIn({ catalogue, draft, currency, at }: Opening): Promise<void> {
  const by = await findPerson();
  if (!by) throw new NobodyAtWork();
  const { job, typed } = draft;
  const traits = traitsOf(catalogue, typed) ?? {};
  // The asks of the catalogue are those of a step; trade does not know the journal's types.
  const steps = compose(catalogue, traits, typed.service) as unknown as Step[];
  const route = await digestOf(steps);
  const shared = {
    service: typed.service,
    traits,
    says: typed.says,
    go_ahead_minor: limitOf(typed) ?? 0,
    opened_at: at,
    route,
  };
  const header: HeaderRow = {
    ...shared,
    id: job,
    number: say("walk-in.number", { code: tagCode(job) }),
    bike: typed.bike,
    tag: jobPath(job),
    customer: typed.name.split(/\s+/)[0] ?? "",
    currency,
    promised_at: null,
    history: "",
    tasks: tasksFor(catalogue, traits),
  };
  const told = {
    ...shared,
    customer_name: typed.name,
    phone: typed.phone,
    bike_words: typed.bike,
    by,
    catalogue: catalogue.version,
  };
  await keepWalkIn(told, header, steps);
}

function tasksFor(catalogue: Catalogue, traits: Traits): string[] {
  const full = fillDefaults(catalogue, traits);
  return catalogue.tasks.filter(({ when }) => matches(when, full)).map(({ key }) => key);
}
