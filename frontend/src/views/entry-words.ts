/* One entry in words: for the history, for what was just kept, and for what could not be sent. */
import type { Entry } from "../journal/entry";
import { say, word } from "../words/bench";
import type { JobView } from "./job-model";
import { said } from "./reading";

/** A job that is not on this phone has no titles: then the key is all there is to say. */
type MaybeJob = JobView | undefined;

function stepTitle(job: MaybeJob, entry: Entry): string {
  const key = entry.body.step;
  const found = job?.steps.find((view) => view.step.key === key);
  return found?.step.title ?? textIn(key).replaceAll("_", " ");
}

const WORDS: Record<string, (job: MaybeJob, entry: Entry) => string> = {
  note: (_, { body }) => say("entry.note", { text: textIn(body.text) }),
  finding: (_, { body }) => say("entry.finding", { title: textIn(body.title) }),
  void: (_, { body }) => say("entry.void", { reason: textIn(body.reason) }),
  photo: photoInWords,
  reading: readingInWords,
  choice: readingInWords,
  tick: tickInWords,
  check: tickInWords,
};

function textIn(value: unknown): string {
  return typeof value === "string" ? value : "";
}

export function entryInWords(job: MaybeJob, entry: Entry): string {
  const words = WORDS[entry.kind];
  return words ? words(job, entry) : word("entry", entry.kind);
}

function tickInWords(job: MaybeJob, entry: Entry): string {
  const reason = textIn(entry.body.reason ?? entry.body.text);
  const facts = { step: stepTitle(job, entry), outcome: said(entry), reason };
  return say(reason ? "entry.tick-reason" : "entry.tick", facts);
}

function photoInWords(_: MaybeJob, { body }: Entry): string {
  const caption = textIn(body.caption);
  const phase = word("photo-lower", textIn(body.phase));
  return say(caption ? "entry.photo-caption" : "entry.photo", { phase, caption });
}

function readingInWords(job: MaybeJob, entry: Entry): string {
  const { body } = entry;
  const view = job?.steps.find((each) => each.step.key === body.step);
  const ask = view?.asks.find((each) => each.ask.item === body.item)?.ask;
  return say("entry.value", {
    ask: ask?.label ?? textIn(body.item).replaceAll("-", " "),
    phase: say(body.phase === "left" ? "phase.left" : "phase.found"),
    value: said(entry, ask),
  });
}
