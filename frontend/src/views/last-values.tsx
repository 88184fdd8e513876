/* What was measured here before on this bike: drawn as buttons that put the number into the pad. */
import type { Entry } from "../journal/entry";
import { say, word } from "../words/bench";
import type { AskView, JobView, StepView } from "./job-model";

type Last = { phase: string; value: number; unit: string };

/** As many as fit beside one another. */
const MOST = 3;

/** Of this item, newest first, whatever the phase; what was taken back and what stands here already is left out. */
export function lastValues(job: JobView, view: StepView, ask: AskView): Last[] {
  const taken = new Set(
    job.entries.filter(({ kind }) => kind === "void").flatMap((each) => each.supersedes),
  );
  const standing = new Set(ask.heads.map((head) => head.id));
  const readings = job.entries
    .filter((entry) => isOf(entry, view, ask) && !taken.has(entry.id) && !standing.has(entry.id))
    .sort((one, other) => (one.at < other.at ? 1 : -1))
    .map(({ body }) => ({
      phase: String(body.phase),
      value: body.value as number,
      unit: String(body.unit),
    }));
  const seen = new Map(readings.reverse().map((each) => [JSON.stringify(each), each]));
  return [...seen.values()].reverse().slice(0, MOST);
}

function isOf({ kind, body }: Entry, { step }: StepView, { item }: AskView): boolean {
  return (
    kind === "reading" &&
    body.step === step.key &&
    body.item === item &&
    typeof body.value === "number"
  );
}

export function LastValues({ values }: { values: Last[] }) {
  if (values.length === 0) return null;
  return (
    <fieldset class="last-values">
      <legend class="hidden-text">{say("pad.last")}</legend>
      {values.map(({ phase, value, unit }) => (
        <button type="button" class="button" data-fill={String(value)} data-fill-unit={unit}>
          <span class="soft">{word("phase", phase)}</span>
          {say("said.reading", { value, unit })}
        </button>
      ))}
    </fieldset>
  );
}
