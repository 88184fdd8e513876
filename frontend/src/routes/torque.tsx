/* The torque run: all fasteners in bike order, and the wrench in hand. */
import { getHabits, rememberHabits } from "../store/meta";
import { isTorqueUnit } from "../trade/units";
import { TorquePage } from "../views/torque-page";
import type { BenchContext } from "./deps";
import { type OnJob, onJob } from "./handlers";
import { justKept } from "./load";
import { formOf, textOf } from "./record";
import { nothingMore, showPage } from "./respond";
import type { Router } from "./router";

/** What the pad of a torque starts with; see habitKind in asks.tsx. */
const HABIT = "instrument:torque";

export function torqueRoutes(app: Router): void {
  app.get("/bench/jobs/:job/torque", onJob(torquePage));
  app.post("/bench/jobs/:job/torque/wrench", onJob(takeWrench));
}

async function torquePage(c: BenchContext, { frame, job, me }: OnJob): Promise<Response> {
  const wrenches = (frame.workshop?.instruments ?? []).filter(({ unit }) => isTorqueUnit(unit));
  const wrench = (await getHabits())[HABIT] ?? "";
  const kept = justKept(c, job, me);
  return showPage(
    <TorquePage frame={frame} job={job} wrenches={wrenches} wrench={wrench} kept={kept} />,
  );
}

async function takeWrench(c: BenchContext): Promise<Response> {
  await rememberHabits({ [HABIT]: textOf(await formOf(c), "wrench") });
  return nothingMore();
}
