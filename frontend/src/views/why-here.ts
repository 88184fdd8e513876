/* Why is this step in the route of this bike: which trait, which service, or which finding brought it? Pure. */
import type { Catalogue, Traits, When } from "../trade/catalogue";
import { fillDefaults, matches, UnknownTrait } from "../trade/traits";
import { say } from "../words/bench";
import { type JobView, nameOf, type StepView } from "./job-model";

/** In the words of a person; empty where this phone cannot know. */
export function whyHere(job: JobView, view: StepView, catalogue?: Catalogue): string[] {
  const { step } = view;
  const added = job.state.added.find((each) => each.steps.some(({ key }) => key === step.key));
  if (added) return [fromFinding(job, added.finding, added.title)];
  const row = catalogue?.steps.find(({ key }) => key === step.key);
  if (!catalogue || !row) return [];
  const traits = traitsOf(catalogue, job.header.traits as Traits);
  return [fromTraits(catalogue, row.when, traits), fromService(catalogue, row.tier)].filter(
    Boolean,
  );
}

function fromFinding(job: JobView, id: string, title: string): string {
  const finding = job.state.findings.find((each) => each.id === id);
  if (!finding?.body.reason) return say("why-here.agreed", { title });
  const { reason } = finding.body;
  return say("why-here.finding", { title, reason, name: nameOf(job, finding.by) });
}

/** A bike of an older catalogue may have a trait that this one does not know. */
function traitsOf(catalogue: Catalogue, traits: Traits): Traits {
  try {
    return fillDefaults(catalogue, traits);
  } catch (error) {
    if (error instanceof UnknownTrait) return traits;
    throw error;
  }
}

function fromTraits(catalogue: Catalogue, when: When, traits: Traits): string {
  if (when === null) return say("why-here.every");
  const fitting = when.find((condition) => matches([condition], traits));
  const known = Object.keys(fitting ?? {}).flatMap((key) => {
    const field = catalogue.fields.find((each) => each.key === key);
    const option = field?.options.find(({ value }) => value === traits[key]);
    return field && option
      ? [say("why-here.trait", { trait: field.label, value: option.label })]
      : [];
  });
  return known.length > 0 ? say("why-here.traits", { traits: known.join("; ") }) : "";
}

function fromService(catalogue: Catalogue, tier: string): string {
  const service = catalogue.services.find(({ key }) => key === tier);
  return service ? say("why-here.service", { service: service.title }) : "";
}
