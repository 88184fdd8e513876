/* Taking a bike in at the stand, with or without signal: the form, what is typed kept, the job at once. */
import { v7 } from "uuid";
import { findCatalogue } from "../store/meta";
import type { WalkInDraft } from "../store/schema";
import { findDraft, keepDraft } from "../store/walk-in-draft";
import { findWalkIn, markLabelled } from "../store/walk-ins";
import type { Catalogue } from "../trade/catalogue";
import { compose, minutesOf } from "../trade/compose";
import { fieldsFor } from "../trade/traits";
import type { Frame } from "../views/layout";
import { WALK_IN, walkInPath } from "../views/paths";
import { WalkInBike } from "../views/walk-in-bike";
import {
  NoCataloguePage,
  NumberHint,
  WalkInForm,
  WalkInPage,
  type WalkInScreen,
} from "../views/walk-in-form";
import { WalkInOpenedPage } from "../views/walk-in-opened";
import type { BenchContext } from "./deps";
import { type OnJob, onJob } from "./handlers";
import { loadFrame } from "./load";
import { openWalkIn } from "./open-walk-in";
import { announce, formOf, isUuid, textOf } from "./record";
import { goTo, showFormAgain, showFragment, showPage } from "./respond";
import type { Router } from "./router";
import { errorsIn, isOdd, NOTHING_TYPED, traitsOf, typedFor, typedIn } from "./walk-in-values";

export function walkInRoutes(app: Router): void {
  app.get(WALK_IN, showForm);
  app.post(WALK_IN, withForm(open));
  app.post(`${WALK_IN}/draft`, withForm(keep));
  app.post(`${WALK_IN}/look`, withForm(look));
  app.post(`${WALK_IN}/number`, withForm(judgeNumber));
  app.post(`${WALK_IN}/empty`, empty);
  app.post(`${WALK_IN}/back`, bringBack);
  app.get(`${WALK_IN}/:job`, onJob(showOpened));
  app.post(`${WALK_IN}/:job/labelled`, onJob(labelled));
  app.post(`${WALK_IN}/:job/mend`, onJob(mend));
}

type Filled = { catalogue: Catalogue; frame: Frame; draft: WalkInDraft };
type OnForm = (c: BenchContext, filled: Filled) => Promise<Response>;

/** Every answer to the form keeps what was typed before it does anything else. */
function withForm(handle: OnForm) {
  return async (c: BenchContext): Promise<Response> => {
    const [frame, catalogue, kept] = await Promise.all([
      loadFrame(c),
      findCatalogue(),
      findDraft(),
    ]);
    if (!catalogue) return showPage(<NoCataloguePage frame={frame} />);
    const form = await formOf(c);
    const job = textOf(form, "job");
    const draft: WalkInDraft = {
      job: isUuid(job) ? job : v7(),
      typed: typedIn(form, catalogue),
      ...(kept?.before && { before: kept.before }),
    };
    await keepDraft(draft);
    return handle(c, { catalogue, frame, draft });
  };
}

async function showForm(c: BenchContext): Promise<Response> {
  const [frame, catalogue, kept] = await Promise.all([loadFrame(c), findCatalogue(), findDraft()]);
  if (!catalogue || !frame.workshop) return showPage(<NoCataloguePage frame={frame} />);
  const draft = kept ?? { job: v7(), typed: NOTHING_TYPED };
  return showPage(<WalkInPage frame={frame} screen={screenOf({ catalogue, frame, draft })} />);
}

async function keep(): Promise<Response> {
  return new Response(null, { status: 204 });
}

async function look(_: BenchContext, filled: Filled): Promise<Response> {
  return showFragment(<WalkInBike screen={screenOf(filled)} />);
}

async function judgeNumber(_: BenchContext, { draft }: Filled): Promise<Response> {
  return showFragment(<NumberHint odd={isOdd(draft.typed.phone)} />);
}

/** The same form a second time opens no second job. */
async function open(c: BenchContext, filled: Filled): Promise<Response> {
  const { catalogue, frame, draft } = filled;
  const known = await findWalkIn(draft.job);
  if (known && known.refused === undefined) return goTo(c, walkInPath(draft.job));
  const errors = errorsIn(catalogue, draft.typed);
  if (Object.keys(errors).length > 0)
    return showFormAgain(<WalkInForm screen={{ ...screenOf(filled), errors }} />);
  const currency = frame.workshop?.currency ?? "";
  const at = known?.opened_at ?? c.var.deps.now().toISOString();
  await openWalkIn({ catalogue, draft, currency, at });
  announce(c, draft.job);
  return goTo(c, walkInPath(draft.job));
}

async function empty(c: BenchContext): Promise<Response> {
  const kept = await findDraft();
  if (kept) await keepDraft({ job: v7(), typed: NOTHING_TYPED, before: kept.typed });
  return goTo(c, WALK_IN);
}

async function bringBack(c: BenchContext): Promise<Response> {
  const kept = await findDraft();
  if (kept?.before) await keepDraft({ job: kept.job, typed: kept.before });
  return goTo(c, WALK_IN);
}

function screenOf({ catalogue, frame, draft }: Filled): WalkInScreen {
  const { job, typed, before } = draft;
  const traits = traitsOf(catalogue, typed);
  return {
    job,
    typed,
    errors: {},
    kinds: catalogue.fields.find(({ key }) => key === "kind")?.options ?? [],
    traits,
    fields: traits ? fieldsFor(catalogue, traits) : [],
    services: catalogue.services.map(({ key }) => ({
      key,
      minutes: traits && minutesOf(compose(catalogue, traits, key)).typical,
    })),
    currency: frame.workshop?.currency ?? "",
    canBringBack: before !== undefined,
    odd: typed.phone !== "" && isOdd(typed.phone),
  };
}

async function showOpened(_: BenchContext, { frame, job }: OnJob): Promise<Response> {
  const walkIn = await findWalkIn(job.header.id);
  return showPage(
    <WalkInOpenedPage frame={frame} job={job} walkIn={walkIn} odd={isOdd(walkIn?.phone ?? "")} />,
  );
}

async function labelled(c: BenchContext, { job }: OnJob): Promise<Response> {
  await markLabelled(job.header.id);
  return goTo(c, "/bench/");
}

/** The form again with what was refused; its entries wait until it is taken. */
async function mend(c: BenchContext, { job }: OnJob): Promise<Response> {
  const { id } = job.header;
  const [walkIn, catalogue, kept] = await Promise.all([
    findWalkIn(id),
    findCatalogue(),
    findDraft(),
  ]);
  if (!walkIn || !catalogue || walkIn.refused === undefined) return goTo(c, walkInPath(id));
  const before = kept?.job === id ? kept.before : kept?.typed;
  await keepDraft({ job: id, typed: typedFor(catalogue, walkIn), ...(before && { before }) });
  return goTo(c, WALK_IN);
}
