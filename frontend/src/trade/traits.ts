/**
 * Which bike is meant? What is usual for its kind, and which values a trait may have.
 * See also shopfloor/trade/traits.py: both are held together by fixtures/cases/compose.json.
 */
import type { Catalogue, Field, Traits, When } from "./catalogue";

/** A trait has a value that no bike here has; `field` says which. */
export class UnknownTrait extends Error {
  readonly field: Field;
  constructor(field: Field) {
    super(`${field.label}: use one of ${field.options.map(({ label }) => label).join(", ")}.`);
    this.name = "UnknownTrait";
    this.field = field;
  }
}

/** The first field that cannot be used; other keys are let be. */
export function findUnknownTrait({ fields }: Catalogue, traits: Traits): Field | undefined {
  return fields.find(({ key, options }) => {
    const value = traits[key] ?? null;
    if (value === null) return key === "kind";
    return !options.some((option) => option.value === value);
  });
}

/** Every missing trait as is usual for the kind; nothing is assumed about an optional one. Throws UnknownTrait. */
export function fillDefaults(catalogue: Catalogue, traits: Traits): Traits {
  const unknown = findUnknownTrait(catalogue, traits);
  if (unknown) throw new UnknownTrait(unknown);
  const given = Object.entries(traits).filter(([, value]) => value !== null);
  return { ...catalogue.usual[String(traits.kind)], ...Object.fromEntries(given) };
}

/** An optional trait nothing is known about fits every value. */
export function matches(when: When, traits: Traits): boolean {
  return when === null || when.some((condition) => fits(condition, traits));
}

function fits(condition: NonNullable<When>[number], traits: Traits): boolean {
  return Object.entries(condition).every(([key, allowed]) => {
    const value = traits[key] ?? null;
    return value === null || allowed.includes(value);
  });
}

/** The fields of a form that mean something on this bike, its kind left out. */
export function fieldsFor({ fields }: Catalogue, traits: Traits): Field[] {
  return fields.filter(
    ({ key, only_with }) =>
      key !== "kind" && (only_with === null || traits[only_with.key] === only_with.value),
  );
}

export function isYesNo({ options }: Field): boolean {
  return options.every(({ value }) => typeof value === "boolean");
}
