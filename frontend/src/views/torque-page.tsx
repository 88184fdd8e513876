/* The torque run: every fastener of the job in bike order, the wrench in hand, and the next one big. */
import type { Instrument } from "../store/schema";
import { isOverdue } from "../trade/instrument";
import { say, word } from "../words/bench";
import { notedLimits } from "./ask-screen";
import { bandInWords } from "./band";
import { actionAttributes } from "./forms";
import { Glyph } from "./glyph";
import type { JobView } from "./job-model";
import type { Kept } from "./kept-line";
import { type Frame, Layout } from "./layout";
import { askPath, askPhasePath, jobPath, torquePath } from "./paths";
import { Cell } from "./step-asks";
import {
  canBeFoundLoose,
  countDone,
  entryOf,
  type Fastener,
  fastenersOf,
  isDone,
  nextFastener,
} from "./torque-run";
import { type Clock, isoDay } from "./words";

type PageProps = {
  frame: Frame;
  job: JobView;
  wrenches: Instrument[];
  wrench: string;
  kept?: Kept | undefined;
};

export function TorquePage({ frame, job, wrenches, wrench, kept }: PageProps) {
  const all = fastenersOf(job);
  const { done, total } = countDone(all);
  const next = nextFastener(all);
  const id = job.header.id;
  return (
    <Layout
      frame={frame}
      title={say("torque.title")}
      back={{ href: jobPath(id), word: job.header.number }}
      job={id}
      refresh={torquePath(id)}
      kept={kept}
      foot={
        <div class="sticky">
          <div class="step-act one">
            {next ? (
              <NextFastener job={job} next={next} />
            ) : (
              <a class="button primary large" href={jobPath(id)}>
                {say("ask.to-steps")}
              </a>
            )}
          </div>
        </div>
      }
    >
      <h1>{say("torque.title")}</h1>
      <p class="row">
        <progress class="rule" value={done} max={Math.max(1, total)} aria-hidden="true"></progress>
        <span class="soft">{say("torque.answered", { done, total })}</span>
      </p>
      {next ? null : <p class="panel strong">{say("torque.all-done")}</p>}
      <Wrench frame={frame} job={job} wrenches={wrenches} wrench={wrench} />
      <p class="soft">{say("torque.how")}</p>
      <ol class="steps">
        {all.map((fastener) => (
          <FastenerRow job={job} fastener={fastener} />
        ))}
      </ol>
    </Layout>
  );
}

/** Remembered from here on, and from each reading that names another. */
function Wrench({ frame, job, wrenches, wrench }: Omit<PageProps, "kept">) {
  if (wrenches.length === 0) return null;
  return (
    <div class="field">
      <label for="wrench">{say("torque.wrench")}</label>
      <select
        id="wrench"
        name="wrench"
        hx-post={`${torquePath(job.header.id)}/wrench`}
        hx-trigger="change"
        hx-swap="none"
      >
        <InstrumentOptions instruments={wrenches} chosen={wrench} clock={frame.truth.clock} />
      </select>
    </div>
  );
}

export function InstrumentOptions({
  instruments,
  chosen,
  clock,
}: {
  instruments: Instrument[];
  chosen: string;
  clock: Clock;
}) {
  const today = isoDay(clock);
  return (
    <>
      <option value="">{say("ask.no-instrument")}</option>
      {instruments.map((each) => (
        <option value={each.id} selected={each.id === chosen}>
          {isOverdue(each, today) ? say("ask.instrument-overdue", { name: each.name }) : each.name}
        </option>
      ))}
    </>
  );
}

function NextFastener({ job, next }: { job: JobView; next: Fastener }) {
  const entry = entryOf(next);
  if (!entry) return null;
  const { ask, view } = entry;
  return (
    <a
      class="button primary large full torque-next"
      href={askPhasePath(job.header.id, view.step.key, ask.item, ask.phase, "torque")}
    >
      <span>
        <span class="torque-label">{next.label}</span>
        <span class="torque-band">
          {say("torque.next", {
            phase: word("phase-title", ask.phase),
            limits: bandInWords(notedLimits(view, ask)),
          })}
        </span>
      </span>
      <Glyph name="next" />
    </a>
  );
}

function FastenerRow({ job, fastener }: { job: JobView; fastener: Fastener }) {
  const { view, item, label, asks } = fastener;
  const [first] = asks;
  if (!first) return null;
  const { compound } = view.step;
  return (
    <li
      id={`fastener-${view.step.key}-${item}`}
      class={isDone(fastener) ? "step done fastener" : "step fastener"}
    >
      <div class="step-text">
        <span class="step-title">{label}</span>
        <div class="step-about">
          <span>{bandInWords(notedLimits(view, first))}</span>
          {compound ? <span>{compound.title}</span> : null}
        </div>
      </div>
      <div class="step-more ask-cells">
        {asks.map((ask) => (
          <Cell job={job} view={view} ask={ask} run="torque" />
        ))}
      </div>
      {canBeFoundLoose(fastener) ? <FoundLoose job={job} fastener={fastener} /> : null}
    </li>
  );
}

function FoundLoose({
  job,
  fastener: { view, item, label },
}: {
  job: JobView;
  fastener: Fastener;
}) {
  const path = `${askPath(job.header.id, view.step.key, item)}/reading`;
  return (
    <button
      type="button"
      class="button step-more"
      aria-label={say("torque.loose", { label })}
      {...actionAttributes(path, `#fastener-${view.step.key}-${item}`, {
        loose: "1",
        run: "list",
      })}
    >
      {say("pad.loose")}
    </button>
  );
}
