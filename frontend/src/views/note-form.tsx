/* Writing a note: one field, kept as typed when it cannot be taken. */
import { say } from "../words/bench";
import { Field, formAttributes, Hidden } from "./forms";
import type { JobView } from "./job-model";
import { type Frame, Layout } from "./layout";
import { jobPath } from "./paths";

export type NoteValues = { text: string; step: string; error?: string };

export function NotePage({
  frame,
  job,
  values,
}: {
  frame: Frame;
  job: JobView;
  values: NoteValues;
}) {
  const id = job.header.id;
  return (
    <Layout
      frame={frame}
      title={say("note.title")}
      back={{ href: jobPath(id), word: job.header.number }}
      job={id}
    >
      <h1>{say("note.title")}</h1>
      <NoteForm job={job} values={values} />
    </Layout>
  );
}

export function NoteForm({ job, values }: { job: JobView; values: NoteValues }) {
  const step = job.steps.find((view) => view.step.key === values.step)?.step;
  return (
    <form {...formAttributes(`${jobPath(job.header.id)}/note`, "note-form")} class="stack">
      <Hidden values={{ step: values.step }} />
      {step ? <p class="soft">{say("note.about", { step: step.title })}</p> : null}
      <Field id="text" label={say("note.what")} error={values.error}>
        <textarea id="text" name="text" rows={8} maxlength={4000} autofocus>
          {values.text}
        </textarea>
      </Field>
      <button type="submit" class="button primary large full">
        {say("note.keep")}
      </button>
    </form>
  );
}
