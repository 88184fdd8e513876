/* Taking a bike in at the stand: who brings it, what it is, what is wanted. Everything is kept while it is typed. */
import type { WalkInTyped } from "../store/schema";
import type { Field as Trait, Traits } from "../trade/catalogue";
import { say } from "../words/bench";
import { Field, formAttributes, Hidden } from "./forms";
import { type Frame, Layout } from "./layout";
import { WALK_IN } from "./paths";
import { WalkInBike } from "./walk-in-bike";

export type WalkInScreen = {
  job: string;
  typed: WalkInTyped;
  /** One sentence for each field that cannot be used, by its name. */
  errors: Record<string, string>;
  kinds: Trait["options"];
  /** Once the kind is known. */
  traits: Traits | undefined;
  fields: Trait[];
  services: { key: string; minutes: number | undefined }[];
  currency: string;
  canBringBack: boolean;
  /** The number is none that could be rung as it stands. */
  odd: boolean;
};

const back = () => ({ href: "/bench/", word: say("frame.jobs") });

export function WalkInPage({ frame, screen }: { frame: Frame; screen: WalkInScreen }) {
  return (
    <Layout frame={frame} title={say("walk-in.title")} back={back()}>
      <h1>{say("walk-in.title")}</h1>
      <WalkInForm screen={screen} />
      <form method="post" action={`${WALK_IN}/${screen.canBringBack ? "back" : "empty"}`}>
        <button type="submit" class="button quiet full">
          {say(screen.canBringBack ? "walk-in.bring-back" : "walk-in.empty")}
        </button>
      </form>
    </Layout>
  );
}

/** A phone that was never in step with the server has nothing to compose a route from. */
export function NoCataloguePage({ frame }: { frame: Frame }) {
  return (
    <Layout frame={frame} title={say("walk-in.title")} back={back()}>
      <h1>{say("walk-in.title")}</h1>
      <div class="empty">
        <p>{say("walk-in.no-catalogue")}</p>
        <p>{say("walk-in.no-catalogue-do")}</p>
      </div>
    </Layout>
  );
}

export function WalkInForm({ screen }: { screen: WalkInScreen }) {
  const { job, typed, errors } = screen;
  return (
    <form {...formAttributes(WALK_IN, "walk-in")} class="stack" novalidate autocomplete="off">
      <Hidden values={{ job }} />
      <Draft />
      <Field id="name" label={say("walk-in.name")} error={errors.name}>
        <input
          id="name"
          name="name"
          value={typed.name}
          maxlength={80}
          autocapitalize="words"
          {...described("name", errors)}
        />
      </Field>
      <div class="field">
        <label for="phone">{say("walk-in.phone")}</label>
        <NumberHint odd={screen.odd} />
        <input
          id="phone"
          name="phone"
          type="tel"
          inputmode="tel"
          value={typed.phone}
          maxlength={32}
          aria-describedby="phone-hint"
          hx-post={`${WALK_IN}/number`}
          hx-trigger="change"
          hx-target="#phone-hint"
          hx-swap="outerMorph"
        />
      </div>
      <Field
        id="bike"
        label={say("walk-in.bike")}
        hint={say("walk-in.bike-how")}
        error={errors.bike}
      >
        <input
          id="bike"
          name="bike"
          value={typed.bike}
          maxlength={120}
          {...described("bike", errors)}
        />
      </Field>
      <WalkInBike screen={screen} />
      <Field id="says" label={say("walk-in.says")} hint={say("walk-in.says-how")}>
        <textarea id="says" name="says" rows={3} maxlength={2000} aria-describedby="says-hint">
          {typed.says}
        </textarea>
      </Field>
      <Field
        id="limit"
        label={say("walk-in.limit", { currency: screen.currency })}
        hint={say("walk-in.limit-how")}
        error={errors.limit}
        short
      >
        <input
          id="limit"
          name="limit"
          inputmode="decimal"
          value={typed.limit}
          maxlength={12}
          {...described("limit", errors)}
        />
      </Field>
      <Errors errors={errors} />
      <button type="submit" class="button primary large full">
        {say("walk-in.open")}
      </button>
      <p class="soft small">{say("walk-in.what-then")}</p>
    </form>
  );
}

/** A number is never a reason not to take a bike in. */
export function NumberHint({ odd }: { odd: boolean }) {
  return (
    <span id="phone-hint" class={odd ? "hint strong" : "hint"} role="status">
      {say(odd ? "walk-in.phone-odd" : "walk-in.phone-why")}
    </span>
  );
}

/** Sends what is typed to be kept, a moment after each key. */
function Draft() {
  return (
    <span
      hidden
      hx-post={`${WALK_IN}/draft`}
      hx-trigger="input delay:150ms from:#walk-in"
      hx-swap="none"
      hx-sync="this:replace"
    ></span>
  );
}

function described(name: string, errors: Record<string, string>): Record<string, string> {
  const error = errors[name] ? `${name}-error ` : "";
  return {
    "aria-describedby": `${error}${name}-hint`,
    ...(error && { "aria-invalid": "true" }),
  };
}

/** Beside the button too: the fields themselves may be out of sight. */
function Errors({ errors }: { errors: Record<string, string> }) {
  const names = Object.keys(errors);
  if (names.length === 0) return null;
  return (
    <div class="notice not-open" role="alert">
      <h2>{say("walk-in.not-open")}</h2>
      {names.map((name) => (
        <a href={`#${name}`}>{errors[name]}</a>
      ))}
    </div>
  );
}
