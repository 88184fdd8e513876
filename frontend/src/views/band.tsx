/* A reading on its scale: the allowed band or limit, what was found, what it is left at, and what is being typed. */
import type { Ask } from "../journal/route";
import { say } from "../words/bench";
import { numeral } from "./words";

export type Marks = {
  found?: number | undefined;
  left?: number | undefined;
  typing?: number | undefined;
};

const LEFT = 10;
const RIGHT = 310;
const LINE = 34;

type Span = [number, number];

/** Where the drawing starts and ends: as the ask says, or wide enough to show the limits. */
function spanOf(ask: Ask): Span {
  if (ask.scale) return [ask.scale[0], ask.scale[1]];
  const rule = ask.rule;
  if (!rule) return [0, 10];
  if (rule.type === "band") {
    const margin = Math.max(rule.max - rule.min, rule.max * 0.25);
    return [Math.max(0, rule.min - margin), rule.max + margin];
  }
  const far = Math.max(rule.renew, rule.watch ?? rule.renew);
  return [0, rule.type === "minimum" ? far * 4 : far * 1.6];
}

function place(value: number, [low, high]: Span): number {
  const share = (value - low) / (high - low || 1);
  return LEFT + Math.min(1, Math.max(0, share)) * (RIGHT - LEFT);
}

/** What is allowed, from the first to the last value that needs nothing done. */
function allowed(ask: Ask, span: Span): Span | null {
  const rule = ask.rule;
  if (!rule) return null;
  if (rule.type === "band") return [rule.min, rule.max];
  return rule.type === "minimum" ? [rule.renew, span[1]] : [span[0], rule.renew];
}

function limits(ask: Ask): number[] {
  const rule = ask.rule;
  if (!rule) return [];
  if (rule.type === "band") return [rule.min, rule.max];
  return rule.watch == null ? [rule.renew] : [rule.renew, rule.watch];
}

function Limits({ ask, span }: { ask: Ask; span: Span }) {
  return (
    <>
      {limits(ask).map((value, at) => (
        <>
          {ask.rule?.type !== "band" && at === 1 ? (
            <path class="scale-limit" d={`M${place(value, span)} ${LINE - 12}V${LINE}`} />
          ) : null}
          <text class="scale-text" x={place(value, span)} y={LINE + 22} text-anchor="middle">
            {numeral(value)}
          </text>
        </>
      ))}
    </>
  );
}

/** Found: an open lozenge above the line. Left: a filled bar through it. */
function Found({ at }: { at: number }) {
  return <path class="scale-found" d={`M${at} ${LINE - 10}l6 -9l-6 -9l-6 9Z`} />;
}

function Left({ at }: { at: number }) {
  return <path class="scale-left" d={`M${at - 2} ${LINE - 26}h4v32h-4Z`} />;
}

export function Band({ ask, marks }: { ask: Ask; marks: Marks }) {
  const span = spanOf(ask);
  const band = allowed(ask, span);
  const mark = (value: number | undefined) =>
    value === undefined ? undefined : place(value, span);
  const [found, left, typing] = [mark(marks.found), mark(marks.left), mark(marks.typing)];
  return (
    <svg class="scale" viewBox="0 0 320 60" role="img" aria-label={bandInWords(ask)}>
      {band ? (
        <rect
          class="scale-band"
          x={place(band[0], span)}
          y={LINE - 12}
          width={Math.max(2, place(band[1], span) - place(band[0], span))}
          height={12}
        />
      ) : null}
      <path class="scale-base" d={`M${LEFT} ${LINE}H${RIGHT}`} />
      <Limits ask={ask} span={span} />
      {found === undefined ? null : <Found at={found} />}
      {left === undefined ? null : <Left at={left} />}
      {typing === undefined ? null : (
        <path class="scale-typing" d={`M${typing} ${LINE - 28}V${LINE + 4}`} />
      )}
    </svg>
  );
}

/** The limits as a sentence, for those who cannot see the drawing and for those who want to read it. */
export function bandInWords(ask: Ask): string {
  const rule = ask.rule;
  const withUnit = (value: number) => [numeral(value), ask.unit].filter(Boolean).join(" ");
  if (!rule) return say("limit.mark");
  if (rule.type === "band") return say("limit.band", { min: rule.min, max: withUnit(rule.max) });
  const side = rule.type === "minimum" ? "below" : "from";
  const renew = withUnit(rule.renew);
  if (rule.watch == null) return say(`limit.${side}`, { renew });
  return say(`limit.${side}-watch`, { renew, watch: withUnit(rule.watch) });
}
