/* What a step asks, item by item: what was found beside what it is left at; short once the step is done. */
import { rich, say, word } from "../words/bench";
import { VerdictChip } from "./chip";
import { Glyph } from "./glyph";
import { type AskView, type JobView, type StepView, valueIn } from "./job-model";
import { askPhasePath, photoPagePath, stepPath, torquePath } from "./paths";
import { said } from "./reading";

/** Above this many fasteners the list would bury the steps; the torque run walks them. */
const MANY_FASTENERS = 3;

type Item = { label: string; kind: string; asks: AskView[] };

export function itemsOf(asks: AskView[]): Item[] {
  const items = new Map<string, Item>();
  for (const ask of asks) {
    const item = items.get(ask.item) ?? { label: ask.ask.label, kind: ask.ask.kind, asks: [] };
    item.asks.push(ask);
    items.set(ask.item, item);
  }
  return [...items.values()];
}

export function StepAsks({ job, view, whole }: { job: JobView; view: StepView; whole?: boolean }) {
  const items = itemsOf(view.asks);
  if (items.length === 0) return null;
  if (view.done && !whole) return <Summary job={job} view={view} items={items} />;
  const fasteners = items.filter((item) => item.kind === "torque");
  const walked = fasteners.length > MANY_FASTENERS && !whole;
  return (
    <div class="asks">
      {walked ? <TorqueRunLink job={job} items={fasteners} /> : null}
      {items.map((item) =>
        walked && item.kind === "torque" ? null : <ItemRow job={job} view={view} item={item} />,
      )}
    </div>
  );
}

function isGood(ask: AskView): boolean {
  return ask.verdict === "sound" || ask.verdict === "";
}

/** One line of what was answered; only a verdict that wants something keeps its sign. */
function Summary({ job, view, items }: { job: JobView; view: StepView; items: Item[] }) {
  const answered = items.filter((item) => item.asks.some((ask) => ask.heads.length > 0));
  if (answered.length === 0) return null;
  return (
    <a class="ask-summary" href={stepPath(job.header.id, view.step.key)}>
      {answered.map((item) => (
        <span>
          {rich(
            "ask.summary",
            { value: (words) => <strong>{words}</strong> },
            { item: item.label, values: itemValues(job, item) },
          )}
          {item.asks
            .filter((ask) => ask.heads.length > 0 && !isGood(ask))
            .map((ask) => (
              <VerdictChip verdict={ask.verdict} />
            ))}
        </span>
      ))}
    </a>
  );
}

function itemValues(job: JobView, item: Item): string {
  if (item.kind === "photo") return say("ask.photos-taken", { n: item.asks[0]?.heads.length ?? 0 });
  const values = item.asks.map((ask) => valueIn(job, ask)).filter((head) => head !== undefined);
  return values.map((head) => said(head, item.asks[0]?.ask)).join(" → ");
}

function TorqueRunLink({ job, items }: { job: JobView; items: Item[] }) {
  const asks = items.flatMap((item) => item.asks).filter((ask) => ask.required);
  const settled = asks.filter((ask) => ask.settled).length;
  return (
    <a class="ask open" href={torquePath(job.header.id)}>
      <span class="ask-label">
        <Glyph name="torque" /> {say("torque.run", { n: items.length })}
      </span>
      <span class="ask-value">{say("frame.done-of", { done: settled, total: asks.length })}</span>
    </a>
  );
}

function ItemRow({ job, view, item }: { job: JobView; view: StepView; item: Item }) {
  if (item.kind === "photo") return <PhotoAsk job={job} view={view} item={item} />;
  const one = item.asks.length === 1;
  return (
    <div class={one ? "ask-item one" : "ask-item"}>
      <span class="ask-label">{item.label}</span>
      <div class="ask-cells">
        {item.asks.map((ask) => (
          <Cell job={job} view={view} ask={ask} />
        ))}
      </div>
    </div>
  );
}

function PhotoAsk({ job, view, item }: { job: JobView; view: StepView; item: Item }) {
  const ask = item.asks[0];
  if (!ask) return null;
  return (
    <a
      class={ask.required && !ask.settled ? "ask open" : "ask"}
      href={photoPagePath(job.header.id, view.step.key, ask.item)}
    >
      <span class="ask-label">{item.label}</span>
      <span class="ask-value">
        {ask.heads.length > 0
          ? say("ask.photos-taken", { n: ask.heads.length })
          : say("ask.take-photo")}
      </span>
    </a>
  );
}

/** Open and required has the firmer rim; what may be left out is quiet. */
export function Cell({
  job,
  view,
  ask,
  run,
}: {
  job: JobView;
  view: StepView;
  ask: AskView;
  run?: string;
}) {
  const value = valueIn(job, ask);
  const open = ask.required && !ask.settled;
  const words = value ? said(value, ask.ask) : ask.heads.length > 1 ? say("ask.two-entries") : "–";
  const phase = word("phase", ask.phase);
  return (
    <a
      class={open ? "cell open" : "cell"}
      href={askPhasePath(job.header.id, view.step.key, ask.item, ask.phase, run)}
      aria-label={say("ask.cell", {
        ask: ask.ask.label,
        phase,
        value: value ? words : say("ask.open"),
      })}
    >
      <span class="cell-phase">{phase}</span>
      <span class="cell-value">{words}</span>
      {ask.verdict ? <VerdictChip verdict={ask.verdict} /> : null}
    </a>
  );
}
