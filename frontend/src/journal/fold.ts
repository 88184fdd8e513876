/**
 * What state is a job in, given the set of its entries?
 * The same set gives the same state whatever the order, however often an entry is repeated.
 * See also shopfloor/journal/fold.py: both are held together by fixtures/cases/journal/fold.json.
 */
import { agree, uuidIn } from "./bodies";
import { BENCH_KINDS, type Entry } from "./entry";
import { instantMs } from "./instants";
import { liveHeads } from "./live";
import { currentAsked, listAsking, listParts, readAnswers } from "./offers";
import { placeOf } from "./places";
import type { Step } from "./route";
import type {
  Added,
  FindingBody,
  Head,
  JobState,
  NoteBody,
  OpenedBody,
  OpenHands,
  PhotoBody,
  PlaceName,
  ReleasedBody,
  Row,
} from "./state";
import { byCodeUnits } from "./values";

type Places = Record<string, Head[]>;

/** The state of one job; entries that cannot be read take no part in it. */
export function fold(entries: Iterable<Entry>): JobState {
  const heads = liveHeads(entries);
  const places = byPlace(heads);
  const asked = currentAsked(heads);
  const { answers, disputed } = readAnswers(heads);
  const findings = rows<FindingBody>(heads, "finding");
  const added = listAdded(heads);
  const state: Omit<JobState, "place"> = {
    opened: (places.opened?.[0]?.body ?? null) as OpenedBody | null,
    places,
    conflicts: [...new Set([...conflicts(places, asked), ...disputed])].sort(byCodeUnits),
    notes: rows<NoteBody>(heads, "note"),
    photos: rows<PhotoBody>(heads, "photo"),
    findings,
    added,
    answers,
    asking: listAsking(heads, asked),
    parts: listParts(findings, { answers, asked, added, arrived: places }),
    hands: openHands(heads, places),
    ready_at: readyAt(places.promise ?? []),
    released: released(places.released ?? []),
    collected: places.collected !== undefined,
    cancelled: places.cancelled !== undefined,
  };
  return { place: placeName(state, heads.some(isBenchWork)), ...state };
}

function byPlace(heads: readonly Head[]): Places {
  const places: Places = {};
  for (const head of heads) {
    const place = placeOfHead(head);
    if (place === null) continue;
    places[place] ??= [];
    places[place].push(head);
  }
  return places;
}

const known = new WeakMap<Head, string | null>();

function placeOfHead(head: Head): string | null {
  const place = known.get(head);
  if (place !== undefined) return place;
  known.set(head, placeOf(head.kind, head.body));
  return placeOfHead(head);
}

/** Places whose entries differ; of an offer only the newest version is compared. */
function conflicts(places: Places, asked: readonly Head[]): string[] {
  const newest = byPlace(asked);
  return Object.entries(places)
    .filter(([place, heads]) => differ(newest[place] ?? heads))
    .map(([place]) => place);
}

function differ([first, ...others]: readonly Head[]): boolean {
  return others.some((head) => first !== undefined && !agree(first.body, head.body));
}

function rows<Body>(heads: readonly Head[], kind: string): Row<Body>[] {
  return heads
    .filter((head) => head.kind === kind)
    .map(({ id, by, at, body }) => ({ id, by, at, body: body as Body }));
}

function listAdded(heads: readonly Head[]): Added[] {
  return heads
    .filter((head) => head.kind === "route-added")
    .map(({ id, body }) => ({
      id,
      finding: uuidIn(body, "finding"),
      title: String(body.title),
      steps: body.steps as Step[],
    }));
}

function openHands(heads: readonly Head[], places: Places): OpenHands[] {
  return heads
    .filter((head) => head.kind === "hands-on" && places[`hands:${head.id}`] === undefined)
    .map(({ id, by, at }) => ({ id, by, at }));
}

/** Of two promises the earlier one: the customer may have been told either. */
function readyAt(heads: readonly Head[]): string | null {
  const said = heads.map((head) => String(head.body.ready_at));
  said.sort(
    (left, right) => (instantMs(left) ?? 0) - (instantMs(right) ?? 0) || byCodeUnits(left, right),
  );
  return said[0] ?? null;
}

/** Of two releases the one that says not to ride. */
function released(heads: readonly Head[]): ReleasedBody | null {
  const chosen = heads.find((head) => head.body.mode === "not-to-ride") ?? heads[0];
  return (chosen?.body ?? null) as ReleasedBody | null;
}

/** Taking an entry back is no work on the bike: the job may have been the wrong one. */
function isBenchWork(head: Head): boolean {
  return BENCH_KINDS.has(head.kind) && head.kind !== "void";
}

function placeName(state: Omit<JobState, "place">, touched: boolean): PlaceName {
  if (state.cancelled) return "cancelled";
  if (state.collected) return "collected";
  if (state.released !== null) return "ready";
  if (state.asking.length > 0) return "asking";
  if (state.parts.length > 0) return "parts";
  return touched ? "on the stand" : "booked";
}
