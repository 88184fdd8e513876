/* What was typed into the walk-in form: read from it, judged field by field, and what follows from it. Pure. */
import { sameValue } from "../journal/values";
import type { WalkIn, WalkInTyped } from "../store/schema";
import type { Catalogue, Field, Traits, TraitValue } from "../trade/catalogue";
import { isYesNo } from "../trade/traits";
import { say } from "../words/bench";
import { textOf } from "./record";
import { parseAmount } from "./writing";

export const NOTHING_TYPED: WalkInTyped = {
  name: "",
  phone: "",
  bike: "",
  kind: "",
  differs: false,
  traits: {},
  service: "standard",
  says: "",
  limit: "",
};

export function typedIn(form: FormData, catalogue: Catalogue): WalkInTyped {
  const kind = textOf(form, "kind");
  return {
    name: textOf(form, "name"),
    phone: textOf(form, "phone"),
    bike: textOf(form, "bike"),
    kind,
    differs: form.has("differs"),
    traits: kind === textOf(form, "drawn-for") ? chosen(form, catalogue) : usual(catalogue, kind),
    service: textOf(form, "service"),
    says: textOf(form, "says"),
    limit: textOf(form, "limit"),
  };
}

/** As somebody would have to type it to get this walk-in. */
export function typedFor(catalogue: Catalogue, walkIn: WalkIn): WalkInTyped {
  const traits = walkIn.traits as Traits;
  const kind = String(traits.kind);
  return {
    name: walkIn.customer_name,
    phone: walkIn.phone,
    bike: walkIn.bike_words,
    kind,
    differs: !sameValue(traits, usual(catalogue, kind)),
    traits,
    service: walkIn.service,
    says: walkIn.says,
    limit: walkIn.go_ahead_minor > 0 ? (walkIn.go_ahead_minor / 100).toFixed(2) : "",
  };
}

function usual(catalogue: Catalogue, kind: string): Traits {
  return catalogue.offered[kind] ?? {};
}

/** The choices on the page laid over those that it had no room for. */
function chosen(form: FormData, catalogue: Catalogue): Traits {
  const drawn = catalogue.fields.filter(({ key }) => form.has(`trait-${key}`));
  const values = drawn.map((field) => [field.key, valueIn(form, field)] as const);
  return { ...parsed(textOf(form, "traits")), ...Object.fromEntries(values) };
}

/** Boxes come with an empty value beside the ticked one, so that an unticked box is told apart from a missing one. */
function valueIn(form: FormData, field: Field): TraitValue | null {
  const given = form.getAll(`trait-${field.key}`).at(-1);
  if (isYesNo(field)) return given === "true";
  return field.options.find(({ value }) => String(value) === given)?.value ?? null;
}

function parsed(text: string): Traits {
  try {
    return JSON.parse(text) as Traits;
  } catch {
    return {};
  }
}

/** The traits that count, once the kind is known. */
export function traitsOf(catalogue: Catalogue, typed: WalkInTyped): Traits | undefined {
  if (typed.kind === "") return undefined;
  return typed.differs ? { ...typed.traits, kind: typed.kind } : usual(catalogue, typed.kind);
}

/** Whether the desk will have to look at it; a number is never a reason not to open the job. */
export function isOdd(phone: string): boolean {
  return !/^[\d\s+]*$/.test(phone) || phone.replace(/\D/g, "").length < 6;
}

/** One sentence for each field that cannot be used. */
export function errorsIn(catalogue: Catalogue, typed: WalkInTyped): Record<string, string> {
  const kinds = Object.keys(catalogue.offered);
  const services = catalogue.services.map(({ key }) => key);
  return {
    ...(typed.name === "" && { name: say("walk-in.name-missing") }),
    ...(typed.bike === "" && { bike: say("walk-in.bike-missing") }),
    ...(!kinds.includes(typed.kind) && { kind: say("walk-in.kind-missing") }),
    ...(!services.includes(typed.service) && { service: say("walk-in.service-missing") }),
    ...(limitOf(typed) === undefined && { limit: say("walk-in.limit-unclear") }),
  };
}

/** In minor units; nothing typed is no limit, undefined is no amount. */
export function limitOf({ limit }: WalkInTyped): number | undefined {
  return limit === "" ? 0 : parseAmount(limit);
}
