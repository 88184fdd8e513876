/* Notes and findings: forms that keep what was typed until it is kept. */
import type { AddedTask } from "../store/schema";
import { FindingForm, FindingPage, type FindingValues, NO_PART } from "../views/finding-form";
import type { JobView } from "../views/job-model";
import type { Frame } from "../views/layout";
import { NoteForm, NotePage } from "../views/note-form";
import { jobPath, stepAnchor } from "../views/paths";
import { say } from "../words/bench";
import type { BenchContext } from "./deps";
import { type OnJob, onJob } from "./handlers";
import { formOf, record, textOf } from "./record";
import { goTo, showFormAgain, showPage } from "./respond";
import type { Router } from "./router";

export function writingRoutes(app: Router): void {
  app.get(
    "/bench/jobs/:job/note",
    onJob(async (c, { frame, job }) =>
      showPage(
        <NotePage frame={frame} job={job} values={{ text: "", step: c.req.query("step") ?? "" }} />,
      ),
    ),
  );
  app.post("/bench/jobs/:job/note", onJob(note));
  app.get("/bench/jobs/:job/finding", onJob(findingPage));
  app.post("/bench/jobs/:job/finding", onJob(finding));
}

async function note(c: BenchContext, { job }: OnJob): Promise<Response> {
  const form = await formOf(c);
  const [text, step] = [textOf(form, "text"), textOf(form, "step")];
  if (text === "") {
    return showFormAgain(<NoteForm job={job} values={{ text, step, error: say("note.empty") }} />);
  }
  await record(c, {
    job: job.header.id,
    kind: "note",
    body: { text, ...(step && { step }) },
    supersedes: [],
  });
  return goTo(c, step ? stepAnchor(job.header.id, step) : jobPath(job.header.id));
}

/** The shop's added work, as far as this bike has the parts for it. */
function tasksFor(frame: Frame, job: JobView): AddedTask[] {
  const all = frame.workshop?.tasks ?? [];
  const fitting = job.header.tasks;
  return fitting ? all.filter((task) => fitting.includes(task.key)) : all;
}

async function findingPage(c: BenchContext, { frame, job }: OnJob): Promise<Response> {
  const all = tasksFor(frame, job);
  const [step, item] = [c.req.query("step") ?? "", c.req.query("item") ?? ""];
  const here = all.filter(
    (task) => step && task.step === step && (!task.item || task.item === item),
  );
  const tasks = [...here, ...all.filter((task) => !here.includes(task))];
  // Of several that fit, a wrong one chosen for the mechanic would be worse than none.
  const fitting = here.length === 1 ? here[0] : undefined;
  const values = {
    ...EMPTY,
    step,
    item,
    task: fitting?.key ?? "",
    safety: fitting?.safety ?? false,
  };
  return showPage(<FindingPage frame={frame} job={job} tasks={tasks} values={values} />);
}

const EMPTY: FindingValues = {
  task: "",
  title: "",
  reason: "",
  minutes: "",
  safety: false,
  parts: [NO_PART, NO_PART],
  step: "",
  item: "",
  errors: {},
};

function texts(form: FormData, name: string): string[] {
  return form.getAll(name).map((each) => (typeof each === "string" ? each.trim() : ""));
}

function valuesOf(form: FormData): FindingValues {
  const prices = texts(form, "price");
  return {
    task: textOf(form, "task"),
    title: textOf(form, "title"),
    reason: textOf(form, "reason"),
    minutes: textOf(form, "minutes"),
    safety: textOf(form, "safety") !== "",
    parts: texts(form, "part").map((name, at) => ({
      name,
      price: prices[at] ?? "",
      stock: textOf(form, `stock-${at}`) !== "",
    })),
    step: textOf(form, "step"),
    item: textOf(form, "item"),
    errors: {},
  };
}

/** An amount as people type it, in minor units; undefined when it is none. */
export function parseAmount(text: string): number | undefined {
  const plain = text.replace(/[£€$\s]/g, "").replace(",", ".");
  return /^\d{1,6}(\.\d{1,2})?$/.test(plain) ? Math.round(Number(plain) * 100) : undefined;
}

function complete(values: FindingValues, task: AddedTask | undefined): FindingValues {
  return {
    ...values,
    title: values.title || (task?.title ?? ""),
    minutes: values.minutes || (task ? String(task.minutes) : ""),
  };
}

function errorsOf(values: FindingValues): Record<string, string> {
  const errors: Record<string, string> = {};
  if (values.title === "") errors.title = say("finding.no-title");
  if (values.reason === "") errors.reason = say("finding.no-reason");
  if (!/^\d{1,4}$/.test(values.minutes)) errors.minutes = say("finding.no-minutes");
  if (values.parts.some((part) => part.price !== "" && parseAmount(part.price) === undefined)) {
    errors.parts = say("finding.bad-price");
  } else if (values.parts.some((part) => part.price !== "" && part.name === "")) {
    errors.parts = say("finding.nameless-part");
  }
  return errors;
}

async function finding(c: BenchContext, { frame, job }: OnJob): Promise<Response> {
  const tasks = tasksFor(frame, job);
  const typed = valuesOf(await formOf(c));
  const values = complete(
    typed,
    tasks.find((each) => each.key === typed.task),
  );
  const errors = errorsOf(values);
  if (Object.keys(errors).length > 0) {
    return showFormAgain(<FindingForm job={job} tasks={tasks} values={{ ...typed, errors }} />);
  }
  await record(c, { job: job.header.id, kind: "finding", body: bodyOf(values), supersedes: [] });
  return goTo(c, `${jobPath(job.header.id)}#findings`);
}

function bodyOf(values: FindingValues): Record<string, unknown> {
  const { step, item, task } = values;
  return {
    title: values.title,
    reason: values.reason,
    minutes: Number(values.minutes),
    safety: values.safety,
    parts: values.parts.filter((part) => part.name !== "").map(partOf),
    ...(step && { step }),
    ...(item && { item }),
    ...(task && { task }),
  };
}

function partOf(part: FindingValues["parts"][number]): Record<string, unknown> {
  const price = parseAmount(part.price);
  return {
    name: part.name,
    in_stock: part.stock,
    ...(price !== undefined && { price_minor: price }),
  };
}
