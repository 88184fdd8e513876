/* The part of the walk-in form that follows from the kind of bike: its usual parts, what differs, how long each service takes. */
import type { Field, Traits } from "../trade/catalogue";
import { isYesNo } from "../trade/traits";
import { say, word } from "../words/bench";
import { Hidden } from "./forms";
import { WALK_IN } from "./paths";
import type { WalkInScreen } from "./walk-in-form";

export function WalkInBike({ screen }: { screen: WalkInScreen }) {
  const { typed, traits, fields } = screen;
  return (
    <section
      id="walk-in-bike"
      class="stack"
      hx-post={`${WALK_IN}/look`}
      hx-trigger="change"
      hx-swap="outerMorph"
      hx-sync="this:replace"
    >
      <Hidden values={{ "drawn-for": typed.kind, traits: JSON.stringify(traits ?? {}) }} />
      <Kinds screen={screen} />
      {traits ? (
        <>
          <p id="usual" aria-live="polite">
            {inWords(fields, traits)}
          </p>
          <label class="choice" for="differs">
            <input type="checkbox" id="differs" name="differs" value="1" checked={typed.differs} />
            <span>{say("walk-in.differs")}</span>
          </label>
          {typed.differs ? <Choices fields={fields} traits={traits} /> : null}
        </>
      ) : null}
      <Services screen={screen} />
    </section>
  );
}

/** The bike as one would tell it to a colleague. */
export function inWords(fields: readonly Field[], traits: Traits): string {
  return fields
    .flatMap((field) => {
      const value = traits[field.key] ?? null;
      if (value === null || value === false) return [];
      if (value === true) return [field.label];
      const option = field.options.find((each) => each.value === value);
      return [say("walk-in.trait", { name: field.label, value: option?.label ?? String(value) })];
    })
    .map((part) => `${part}.`)
    .join(" ");
}

type ChoiceProps = { name: string; value: string; label: string; checked: boolean };

function Choice({ name, value, label, checked }: ChoiceProps) {
  const id = `${name}-${value || "unknown"}`;
  return (
    <label class="choice" for={id}>
      <input type="radio" id={id} name={name} value={value} checked={checked} />
      <span>{label}</span>
    </label>
  );
}

function Kinds({ screen }: { screen: WalkInScreen }) {
  const { kinds, typed, errors } = screen;
  return (
    <fieldset id="kind" class={errors.kind ? "field wrong" : "field"}>
      <legend>{say("walk-in.kind")}</legend>
      {errors.kind ? (
        <span class="error" role="alert">
          {errors.kind}
        </span>
      ) : null}
      <div class="choices across">
        {kinds.map(({ value, label }) => (
          <Choice name="kind" value={String(value)} label={label} checked={value === typed.kind} />
        ))}
      </div>
    </fieldset>
  );
}

function Choices({ fields, traits }: { fields: readonly Field[]; traits: Traits }) {
  const usual = fields.filter((field) => !field.optional && !isYesNo(field));
  const more = fields.filter(({ optional }) => optional);
  return (
    <>
      {usual.map((field) => (
        <Options field={field} traits={traits} />
      ))}
      <Boxes fields={fields.filter(isYesNo)} traits={traits} />
      <details class="parts" open={more.some(({ key }) => traits[key] != null)}>
        <summary>{say("walk-in.more")}</summary>
        {more.map((field) => (
          <Options field={field} traits={traits} />
        ))}
      </details>
    </>
  );
}

function Options({ field, traits }: { field: Field; traits: Traits }) {
  const name = `trait-${field.key}`;
  const value = traits[field.key] ?? null;
  return (
    <fieldset class="field">
      <legend>{field.label}</legend>
      <div class={field.options.length > 6 ? "choices counts" : "choices across"}>
        {field.options.map((option) => (
          <Choice
            name={name}
            value={String(option.value)}
            label={option.label}
            checked={option.value === value}
          />
        ))}
        {field.optional ? (
          <Choice name={name} value="" label={say("walk-in.not-known")} checked={value === null} />
        ) : null}
      </div>
    </fieldset>
  );
}

/** An empty value goes with each box, so that an unticked one is told apart from one that was not drawn. */
function Boxes({ fields, traits }: { fields: readonly Field[]; traits: Traits }) {
  return (
    <fieldset class="field">
      <legend>{say("walk-in.it-has")}</legend>
      <div class="choices across">
        {fields.map(({ key, label }) => (
          <label class="choice" for={`trait-${key}`}>
            <input type="hidden" name={`trait-${key}`} value="" />
            <input
              type="checkbox"
              id={`trait-${key}`}
              name={`trait-${key}`}
              value="true"
              checked={traits[key] === true}
            />
            <span>{label}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}

function Services({ screen }: { screen: WalkInScreen }) {
  const { services, typed } = screen;
  return (
    <fieldset class="field">
      <legend>{say("walk-in.service")}</legend>
      <div class="choices">
        {services.map(({ key, minutes }) => (
          <label class="choice" for={`service-${key}`}>
            <input
              type="radio"
              id={`service-${key}`}
              name="service"
              value={key}
              checked={key === typed.service}
            />
            <span>
              {word("service", key)}
              {minutes === undefined ? null : (
                <span class="hint">{say("walk-in.about", { time: duration(minutes) })}</span>
              )}
            </span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}

function duration(minutes: number): string {
  const [hours, rest] = [Math.floor(minutes / 60), minutes % 60];
  if (hours === 0) return say("frame.minutes", { n: minutes });
  return say("walk-in.hours", { hours, minutes: String(rest).padStart(2, "0") });
}
