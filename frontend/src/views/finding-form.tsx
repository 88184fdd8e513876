/* Reporting work that was not agreed: picked from the workshop's list or in own words, with minutes and parts. */
import type { AddedTask } from "../store/schema";
import { say } from "../words/bench";
import { Field, formAttributes, Hidden } from "./forms";
import { findStep, type JobView } from "./job-model";
import { type Frame, Layout } from "./layout";
import { jobPath } from "./paths";
import { Camera, PhotoStrip } from "./photos";

export type PartLine = { name: string; price: string; stock: boolean };

export type FindingValues = {
  task: string;
  title: string;
  reason: string;
  minutes: string;
  safety: boolean;
  parts: PartLine[];
  step: string;
  item: string;
  errors: Record<string, string>;
};

export const NO_PART: PartLine = { name: "", price: "", stock: true };

type FormProps = { job: JobView; tasks: AddedTask[]; values: FindingValues };

export function FindingPage({ frame, job, tasks, values }: FormProps & { frame: Frame }) {
  const id = job.header.id;
  const view = findStep(job, values.step);
  return (
    <Layout
      frame={frame}
      title={say("finding.title")}
      back={{ href: jobPath(id), word: job.header.number }}
      job={id}
    >
      <h1>{say("finding.title")}</h1>
      <p class="soft">{say("finding.about")}</p>
      <section class="stack tight" aria-label={say("finding.photo")}>
        <Camera
          job={id}
          view={view}
          item={values.item}
          phase="detail"
          words={say("finding.photo-of-it")}
        />
        <PhotoStrip job={job} photos={[]} here={new Set()} />
      </section>
      <FindingForm job={job} tasks={tasks} values={values} />
    </Layout>
  );
}

export function FindingForm({ job, tasks, values }: FormProps) {
  const about = job.steps.find((view) => view.step.key === values.step)?.step;
  return (
    <form
      {...formAttributes(`${jobPath(job.header.id)}/finding`, "finding-form")}
      class="stack"
      novalidate
    >
      <Hidden values={{ step: values.step, item: values.item }} />
      {about ? <p class="soft">{say("finding.found-at", { step: about.title })}</p> : null}
      <TaskPick tasks={tasks} values={values} />
      <Field
        id="title"
        label={say("finding.what")}
        hint={say("finding.what-hint")}
        error={values.errors.title}
      >
        <input id="title" name="title" value={values.title} maxlength={120} />
      </Field>
      <Field
        id="reason"
        label={say("finding.why")}
        hint={say("finding.why-hint")}
        error={values.errors.reason}
      >
        <textarea id="reason" name="reason" rows={3} maxlength={2000}>
          {values.reason}
        </textarea>
      </Field>
      <Field id="minutes" label={say("finding.minutes")} short error={values.errors.minutes}>
        <input
          id="minutes"
          name="minutes"
          inputmode="numeric"
          value={values.minutes}
          placeholder={say("finding.minutes-empty")}
        />
      </Field>
      <label class="choice">
        <input type="checkbox" name="safety" value="1" checked={values.safety} />
        <span>{say("finding.unsafe")}</span>
      </label>
      <Parts values={values} />
      <button type="submit" class="button primary large full">
        {say("finding.report")}
      </button>
    </form>
  );
}

function TaskPick({ tasks, values }: { tasks: AddedTask[]; values: FindingValues }) {
  if (tasks.length === 0) return null;
  return (
    <Field id="task" label={say("finding.list")}>
      <select id="task" name="task">
        <option value="">{say("finding.own-words")}</option>
        {tasks.map((task) => (
          <option value={task.key} selected={task.key === values.task}>
            {say("finding.task", { task: task.title, n: task.minutes })}
          </option>
        ))}
      </select>
    </Field>
  );
}

function Parts({ values }: { values: FindingValues }) {
  return (
    <details
      class="parts"
      open={values.parts.some((part) => part.name !== "" || part.price !== "")}
    >
      <summary>{say("finding.parts")}</summary>
      {values.errors.parts ? <p class="error">{values.errors.parts}</p> : null}
      {values.parts.map((part, at) => (
        <div class="part">
          <div class="field">
            <label for={`part-${at}`}>{say("finding.part", { n: at + 1 })}</label>
            <input id={`part-${at}`} name="part" value={part.name} maxlength={120} />
          </div>
          <div class="field">
            <label for={`price-${at}`}>{say("finding.price")}</label>
            <input id={`price-${at}`} name="price" inputmode="decimal" value={part.price} />
          </div>
          <label class="choice">
            <input type="checkbox" name={`stock-${at}`} value="1" checked={part.stock} />
            <span>{say("finding.in-stock")}</span>
          </label>
        </div>
      ))}
    </details>
  );
}
