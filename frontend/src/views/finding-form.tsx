/* Reporting work that was not agreed: picked from the workshop's list or in own words, with minutes and parts. */
import type { AddedTask } from "../store/schema";
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
      title="Finding"
      back={{ href: jobPath(id), word: job.header.number }}
      job={id}
    >
      <h1>Finding</h1>
      <p class="soft">
        Work that was not agreed. The desk asks the customer; nothing is done until the answer is
        here.
      </p>
      <section class="stack tight" aria-label="Photo">
        <Camera job={id} view={view} item={values.item} phase="detail" words="Photo of it" />
        <PhotoStrip photos={[]} />
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
      {about ? <p class="soft">{`Found at: ${about.title}`}</p> : null}
      <TaskPick tasks={tasks} values={values} />
      <Field
        id="title"
        label="What needs doing"
        hint="In the customer's words; empty takes the words of the list."
        error={values.errors.title}
      >
        <input id="title" name="title" value={values.title} maxlength={120} />
      </Field>
      <Field id="reason" label="Why" hint="The customer reads this." error={values.errors.reason}>
        <textarea id="reason" name="reason" rows={3} maxlength={2000}>
          {values.reason}
        </textarea>
      </Field>
      <Field id="minutes" label="Minutes of work" short error={values.errors.minutes}>
        <input
          id="minutes"
          name="minutes"
          inputmode="numeric"
          value={values.minutes}
          placeholder="from the list"
        />
      </Field>
      <label class="choice">
        <input type="checkbox" name="safety" value="1" checked={values.safety} />
        <span>Not safe to ride like this</span>
      </label>
      <Parts values={values} />
      <button type="submit" class="button primary large full">
        Report the finding
      </button>
    </form>
  );
}

function TaskPick({ tasks, values }: { tasks: AddedTask[]; values: FindingValues }) {
  if (tasks.length === 0) return null;
  return (
    <Field id="task" label="From the workshop's list">
      <select id="task" name="task">
        <option value="">own words</option>
        {tasks.map((task) => (
          <option value={task.key} selected={task.key === values.task}>
            {`${task.title} (${task.minutes} min)`}
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
      <summary>Parts, if any</summary>
      {values.errors.parts ? <p class="error">{values.errors.parts}</p> : null}
      {values.parts.map((part, at) => (
        <div class="part">
          <div class="field">
            <label for={`part-${at}`}>{`Part ${at + 1}`}</label>
            <input id={`part-${at}`} name="part" value={part.name} maxlength={120} />
          </div>
          <div class="field">
            <label for={`price-${at}`}>Price each, if known</label>
            <input id={`price-${at}`} name="price" inputmode="decimal" value={part.price} />
          </div>
          <label class="choice">
            <input type="checkbox" name={`stock-${at}`} value="1" checked={part.stock} />
            <span>here in the shop</span>
          </label>
        </div>
      ))}
    </details>
  );
}
