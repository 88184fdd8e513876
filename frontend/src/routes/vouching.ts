/* Whether the instrument in hand may say that a value is right, and which other one of the shop may. */
import { judgeReading } from "../journal/judging";
import type { JsonObject } from "../journal/values";
import type { Instrument } from "../store/schema";
import { doubtOf, factorBetween } from "../trade/instrument";
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
    (each) =>
      factorBetween(each.unit, instrument.unit) !== undefined && !doubtOf(each, value, unit, today),
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

/** What a torque was found at may be read with anything; what it is left at is what somebody rides on. */
function isAccepting({ ask, phase }: AskView, body: JsonObject): boolean {
  if (ask.kind === "torque" && phase !== "left") return false;
  const { verdict, answers } = judgeReading(ask, phase, body);
  return answers && (verdict === "sound" || (verdict === "" && ask.kind === "torque"));
}
