/* The shapes of the wire: what the server may say, checked field by field. See also the OpenAPI file in fixtures/wire. */
import * as v from "valibot";

// Loose where a newer server may say more: what this version does not know is kept for the next one.

const Id = v.pipe(v.string(), v.minLength(1));
const Phase = v.picklist(["found", "left"]);

const Rule = v.variant("type", [
  v.object({
    type: v.literal("minimum"),
    renew: v.number(),
    watch: v.exactOptional(v.nullable(v.number())),
  }),
  v.object({
    type: v.literal("maximum"),
    renew: v.number(),
    watch: v.exactOptional(v.nullable(v.number())),
  }),
  v.object({ type: v.literal("band"), min: v.number(), max: v.number() }),
]);

const Verdict = v.picklist(["sound", "watch", "renew", "unsafe", "measure again"]);
const Choice = v.object({
  value: v.string(),
  label: v.string(),
  verdict: v.exactOptional(v.nullable(Verdict)),
});

const Ask = v.looseObject({
  item: Id,
  kind: v.picklist(["reading", "torque", "choice", "photo"]),
  label: v.string(),
  phases: v.array(Phase),
  required: v.array(Phase),
  unit: v.exactOptional(v.nullable(v.string())),
  rule: v.exactOptional(v.nullable(Rule)),
  scale: v.exactOptional(v.nullable(v.tuple([v.number(), v.number()]))),
  safety: v.exactOptional(v.nullable(v.boolean())),
  uncertainty: v.exactOptional(v.nullable(v.number())),
  also: v.exactOptional(v.nullable(v.object({ unit: v.string(), pitches: v.number() }))),
  clears: v.exactOptional(v.nullable(v.object({ step: v.string(), item: v.string() }))),
  choices: v.exactOptional(v.nullable(v.array(Choice))),
  mark: v.exactOptional(v.nullable(v.string())),
  note: v.exactOptional(v.nullable(v.string())),
  source: v.exactOptional(v.nullable(v.string())),
  source_kind: v.exactOptional(v.nullable(v.string())),
});

const Step = v.looseObject({
  key: Id,
  stage: v.string(),
  title: v.string(),
  how: v.exactOptional(v.string(), ""),
  why: v.exactOptional(v.string(), ""),
  kind: v.picklist(["work", "check", "release"]),
  after: v.array(v.object({ key: v.string(), because: v.string() })),
  before: v.exactOptional(v.array(v.string())),
  minutes: v.object({ low: v.number(), typical: v.number(), high: v.number() }),
  compound: v.exactOptional(
    v.nullable(v.object({ key: v.string(), title: v.string(), never: v.string() })),
    null,
  ),
  bath: v.exactOptional(v.nullable(v.string()), null),
  safety: v.boolean(),
  cautions: v.exactOptional(v.array(v.string()), []),
  points: v.exactOptional(v.array(v.string()), []),
  checks: v.exactOptional(v.array(v.string())),
  source: v.exactOptional(v.nullable(v.string()), ""),
  source_kind: v.exactOptional(v.nullable(v.string()), ""),
  asks: v.array(Ask),
});

const Entry = v.looseObject({
  v: v.number(),
  id: Id,
  job: Id,
  kind: v.string(),
  device: v.string(),
  n: v.number(),
  by: v.string(),
  at: v.string(),
  body: v.record(v.string(), v.unknown()),
  supersedes: v.array(v.string()),
});

const JobHeader = v.looseObject({
  id: Id,
  number: v.string(),
  bike: v.string(),
  tag: v.string(),
  customer: v.string(),
  service: v.string(),
  traits: v.record(v.string(), v.unknown()),
  says: v.string(),
  go_ahead_minor: v.number(),
  currency: v.string(),
  route: Id,
  promised_at: v.nullable(v.string()),
  opened_at: v.string(),
  history: v.string(),
  tasks: v.exactOptional(v.array(v.string())),
});

const Workshop = v.object({
  name: v.string(),
  currency: v.string(),
  timezone: v.string(),
  people: v.array(v.object({ id: Id, name: v.string(), role: v.string() })),
  instruments: v.array(
    v.object({
      id: Id,
      name: v.string(),
      kind: v.string(),
      unit: v.string(),
      range_min: v.nullable(v.number()),
      range_max: v.nullable(v.number()),
      class_pct: v.nullable(v.number()),
      resolution: v.nullable(v.number()),
      due_on: v.nullable(v.string()),
      worn_out: v.boolean(),
    }),
  ),
  tasks: v.array(
    v.object({
      key: v.string(),
      title: v.string(),
      minutes: v.number(),
      safety: v.boolean(),
      step: v.exactOptional(v.nullable(v.string())),
      item: v.exactOptional(v.nullable(v.string())),
    }),
  ),
  hours: v.record(v.string(), v.array(v.array(v.string()))),
  catalogue: v.string(),
});

const Count = v.pipe(v.number(), v.integer(), v.minValue(0));

export const SyncAnswer = v.object({
  epoch: v.string(),
  /** Only when the server saw that this phone's profile was copied. */
  device: v.nullable(v.object({ id: Id, token: Id })),
  taken: v.array(v.object({ at: Count, count: Count, seq: Count })),
  refused: v.array(v.object({ at: Count, id: v.string(), code: v.string(), message: v.string() })),
  entries: v.array(v.object({ seq: Count, entry: Entry })),
  jobs: v.array(JobHeader),
  workshop: v.nullable(Workshop),
  workshop_digest: v.string(),
  others: v.array(
    v.object({ job: Id, by: v.nullable(v.string()), device: v.string(), at: v.string() }),
  ),
  cursor: Count,
  more: v.boolean(),
  server_at: v.string(),
});

export const Routes = v.object({
  steps: v.array(Step),
  routes: v.record(v.string(), v.array(Count)),
});

/** What a route is composed from is read where it is composed. */
export const Catalogue = v.looseObject({ version: Id });

export const Handed = v.object({
  device: Id,
  token: Id,
  person: v.exactOptional(v.nullable(v.string())),
  workshop: v.exactOptional(v.string()),
  workshop_name: v.exactOptional(v.string()),
  epoch: v.exactOptional(v.string()),
  /** Names it had before, told by the page where this database does not know them. */
  former: v.exactOptional(v.array(v.string())),
});
