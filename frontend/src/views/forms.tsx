/* The parts forms are made of: hidden fields, a sentence for what is wrong, a row of buttons. */
import type { Child } from "../html/jsx-runtime";

export function Hidden({ values }: { values: Record<string, string> }) {
  return (
    <>
      {Object.entries(values).map(([name, value]) => (
        <input type="hidden" name={name} value={value} />
      ))}
    </>
  );
}

type FieldProps = {
  id: string;
  label: string;
  hint?: string;
  error?: string | undefined;
  short?: boolean;
  children: Child;
};

export function Field({ id, label, hint, error, short, children }: FieldProps) {
  const classes = ["field", error ? "wrong" : "", short ? "short" : ""].filter(Boolean).join(" ");
  return (
    <div class={classes}>
      <label for={id}>{label}</label>
      {hint ? (
        <span class="hint" id={`${id}-hint`}>
          {hint}
        </span>
      ) : null}
      {error ? (
        <span class="error" id={`${id}-error`} role="alert">
          {error}
        </span>
      ) : null}
      {children}
    </div>
  );
}

/** Everything an htmx form needs to be safe: one request at a time, itself as the target. */
export function formAttributes(action: string, id: string): Record<string, string> {
  return {
    id,
    method: "post",
    action,
    "hx-post": action,
    "hx-target": `#${id}`,
    "hx-swap": "outerMorph",
    "hx-sync": "this:drop",
  };
}

/** A button that writes one entry and draws its surroundings anew. */
export function actionAttributes(
  action: string,
  target: string,
  values: Record<string, string>,
): Record<string, string> {
  return {
    "hx-post": action,
    "hx-vals": JSON.stringify(values),
    "hx-target": target,
    "hx-swap": "outerMorph",
    "hx-sync": "this:drop",
  };
}
