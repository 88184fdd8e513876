/* Whether the instrument in hand may say that a value is right, and which other one of the shop may. */
import { judgeHead } from "../journal/judging";
import type { JsonObject } from "../journal/values";
import type { Instrument } from "../store/schema";
import { doubtOf } from "../trade/instrument";
import { isTorqueUnit } from "../trade/units";
import type { AskView } from "../views/job-model";
import { type Clock, dateInWords, isoDay } from "../views/words";
import { say } from "../words/bench";

type Reading = {
  ask: AskView;
  /** As it would be kept. */
  body: JsonObject;
  instrument: Instrument | undefined;
  all: readonly Instrument[];
  clock: Clock;
};

/** The sentence that names a better instrument, where this one would have a value accepted that it cannot know. */
export function cannotVouch(reading: Reading): string | undefined {
  const { ask, body, instrument, all, clock } = reading;
  const { value } = body;
  if (!instrument || typeof value !== "number" || !isAccepting(ask, body)) return undefined;
  const unit = String(body.unit);
  const today = isoDay(clock);
  const doubt = doubtOf(instrument, value, unit, today);
  if (!doubt) return undefined;
  const better = all.filter(
    (each) => isSameKind(each, instrument) && !doubtOf(each, value, unit, today),
  );
  const names = better.map(({ name }) => name).join(say("truth.comma"));
  const { name, due_on, range_min, range_max } = instrument;
  return [
    say(`vouch.${doubt}`, {
      name,
      day: due_on ? dateInWords(due_on) : "",
      low: range_min ?? 0,
      high: range_max ?? 0,
      unit: instrument.unit,
    }),
    names ? say("vouch.take", { names }) : say("vouch.none"),
  ].join(" ");
}

function isSameKind(one: Instrument, other: Instrument): boolean {
  const torque = [one, other].map(({ unit }) => isTorqueUnit(unit));
  return torque[0] === torque[1] && (torque[0] === true || one.unit === other.unit);
}

/** What a torque was found at may be read with anything; what it is left at is what somebody rides on. */
function isAccepting({ ask, phase }: AskView, body: JsonObject): boolean {
  if (ask.kind === "torque" && phase !== "left") return false;
  const head = { id: "", kind: "reading", body } as unknown as Parameters<typeof judgeHead>[2];
  const { verdict, answers } = judgeHead(ask, phase, head);
  return answers && (verdict === "sound" || (verdict === "" && ask.kind === "torque"));
}
