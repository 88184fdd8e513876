/**
 * Which fields has the body of each kind, of which type, and which of them survive a redaction?
 * See also shopfloor/journal/shapes.py.
 */
import { findUuid, isCount } from "./entry";
import { instantMs } from "./instants";
import { isObject, type JsonObject } from "./values";

type Check = (value: unknown) => boolean;
type Checks = Readonly<Record<string, Check>>;

/** The fields of one kind: those it must have, those it may, those a redaction leaves. */
export type Shape = { must: Checks; may: Checks; kept: readonly string[] };

// Keys are part of a place's name, so a colon in one could make two places look like one.
const KEY = /^[!-9;-~]{1,120}$/;
const SHA256 = /^[0-9a-f]{64}$/;

/** Whether one field has its type; an optional one may be missing or null. */
export function fits(shape: Shape, name: string, body: JsonObject): boolean {
  const must = shape.must[name];
  if (must !== undefined) return Object.hasOwn(body, name) && must(body[name]);
  return body[name] == null || shape.may[name]?.(body[name]) === true;
}

const isText: Check = (value) => typeof value === "string";
const isFlag: Check = (value) => typeof value === "boolean";
const isNumber: Check = (value) => typeof value === "number";
const isNumberOrNull: Check = (value) => value === null || isNumber(value);
const isNotNegative: Check = (value) => typeof value === "number" && value >= 0;
const isKey: Check = (value) => typeof value === "string" && KEY.test(value);
const isSha256: Check = (value) => typeof value === "string" && SHA256.test(value);
const isUuid: Check = (value) => findUuid(value) !== null;
const isInstant: Check = (value) => instantMs(value) !== null;
const isWhole: Check = (value) => isCount(value);
const isWholeNotNegative: Check = (value) => isCount(value, 0);

function oneOf(...words: string[]): Check {
  return (value) => typeof value === "string" && words.includes(value);
}

function listOf(check: Check): Check {
  return (value) => Array.isArray(value) && value.every((member) => check(member));
}

function objectOf(must: Checks, may: Checks = {}): Check {
  const shape = { must, may, kept: [] };
  const fields = [...Object.keys(must), ...Object.keys(may)];
  return (value) => isObject(value) && fields.every((name) => fits(shape, name, value));
}

const isPhase = oneOf("found", "left");
const askPlace: Checks = { step: isKey, item: isKey, phase: isPhase };
/** What stood when it was written, where that decides whether it still counts. */
const seen: Checks = { seen: listOf(isUuid) };
const because: Checks = { key: isKey, because: isText };
const isReason = objectOf(because);
const isReopened = objectOf(because, { items: listOf(isKey) });
const isPart = objectOf({ name: isText }, { price_minor: isWholeNotNegative, in_stock: isFlag });
const isLine = objectOf(
  { finding: isUuid, decision: oneOf("yes", "no", "withdrawn") },
  { title: isText, gross_minor: isNumber },
);
const isLimit = objectOf({ renew: isNumber }, { watch: isNumber });
const isBand = objectOf({ min: isNumber, max: isNumber });
const isMark = objectOf({}, { min: isNotNegative, max: isNotNegative });
const isVerdict = oneOf("sound", "watch", "renew", "unsafe", "measure again");
const isRule: Check = (value) => {
  if (!isObject(value)) return false;
  if (value.type === "band") return isBand(value);
  return (value.type === "minimum" || value.type === "maximum") && isLimit(value);
};
const isAsk = objectOf(
  {
    item: isKey,
    kind: oneOf("reading", "torque", "choice", "photo"),
    label: isText,
    phases: listOf(isPhase),
    required: listOf(isPhase),
  },
  {
    unit: isText,
    rule: isRule,
    safety: isFlag,
    uncertainty: isNotNegative,
    also: objectOf({ unit: isText, pitches: isWhole }),
    choices: listOf(objectOf({ value: isText, label: isText }, { verdict: isVerdict })),
    clears: objectOf({ step: isKey, item: isKey }),
  },
);
const isStep = objectOf(
  {
    key: isKey,
    stage: isText,
    title: isText,
    kind: oneOf("work", "check", "release"),
    after: listOf(isReason),
    minutes: objectOf({ typical: isNotNegative }),
    safety: isFlag,
    asks: listOf(isAsk),
  },
  { before: listOf(isKey), checks: listOf(isKey), reopens: listOf(isReopened) },
);

/** A map, because a kind from elsewhere may be called "constructor". */
export const SHAPES: ReadonlyMap<string, Shape> = new Map<string, Shape>([
  [
    "tick",
    {
      must: { step: isKey, outcome: oneOf("done", "open", "not-needed") },
      may: { reason: isText, ...seen },
      kept: ["step", "outcome", "seen"],
    },
  ],
  [
    "choice",
    {
      must: { ...askPlace, value: isText },
      may: seen,
      kept: ["step", "item", "phase", "value", "seen"],
    },
  ],
  [
    "reading",
    {
      must: { ...askPlace, value: isNumberOrNull, unit: isText },
      may: { loose: isFlag, u: isNotNegative, instrument: isText, mark: isMark, ...seen },
      kept: ["step", "item", "phase", "value", "unit", "loose", "u", "instrument", "mark", "seen"],
    },
  ],
  [
    "photo",
    {
      must: { sha256: isSha256, phase: oneOf("before", "after", "detail") },
      may: {
        mime: isText,
        width: isNumber,
        height: isNumber,
        bytes: isNumber,
        step: isKey,
        item: isKey,
        caption: isText,
      },
      kept: ["step", "item", "phase"],
    },
  ],
  ["note", { must: { text: isText }, may: { step: isKey }, kept: ["step"] }],
  [
    "finding",
    {
      must: {
        title: isText,
        reason: isText,
        minutes: isWholeNotNegative,
        parts: listOf(isPart),
        safety: isFlag,
      },
      may: { step: isKey, item: isKey, task: isText },
      kept: ["step", "item", "task", "minutes", "safety"],
    },
  ],
  ["hands-on", { must: {}, may: {}, kept: [] }],
  ["hands-off", { must: { on: isUuid }, may: { until: isInstant }, kept: ["on", "until"] }],
  [
    "check",
    {
      must: { step: isKey, outcome: oneOf("agreed", "not-agreed") },
      may: { text: isText, ...seen },
      kept: ["step", "outcome", "seen"],
    },
  ],
  ["void", { must: {}, may: { reason: isText }, kept: [] }],
  [
    "opened",
    {
      must: { number: isText, service: isText, traits: isObject },
      may: { says: isText, go_ahead_minor: isNumber, currency: isText },
      kept: ["number", "service", "traits", "go_ahead_minor", "currency", "catalogue"],
    },
  ],
  [
    "asked",
    {
      must: { offer: isUuid, version: isWhole, findings: listOf(isUuid) },
      may: { told: isFlag },
      kept: ["offer", "version", "findings", "told"],
    },
  ],
  [
    "answer",
    {
      must: { offer: isUuid, version: isWhole, lines: listOf(isLine) },
      may: { channel: isText },
      kept: ["offer", "version", "channel", "lines"],
    },
  ],
  [
    "route-added",
    {
      must: { finding: isUuid, title: isText, steps: listOf(isStep) },
      may: {},
      kept: ["finding", "title", "steps"],
    },
  ],
  ["parts-in", { must: { finding: isUuid }, may: {}, kept: ["finding"] }],
  ["promise", { must: { ready_at: isInstant }, may: { why: isText }, kept: ["ready_at"] }],
  [
    "released",
    { must: { mode: oneOf("safe", "not-to-ride") }, may: { reason: isText }, kept: ["mode"] },
  ],
  ["collected", { must: {}, may: {}, kept: [] }],
  ["cancelled", { must: {}, may: { reason: isText }, kept: [] }],
  ["withdrawn", { must: { reason: isText }, may: {}, kept: [] }],
  ["redacted", { must: { entry: isUuid }, may: {}, kept: ["entry"] }],
]);
