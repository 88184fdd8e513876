/* What was saved is there: entries, photos and walk-ins, at the server or where a person can see them refused. */
import { isDeepStrictEqual } from "node:util";
import type { Entry } from "../../../frontend/src/journal/entry";
import type { Phone } from "./phone";
import type { ServerJob, ServerShop } from "./picture";
import type { Shift } from "./shift";

type Refused = { id: string };

/** What a person was told is saved is at the server, or where a person can see it refused. */
export function checkSaved(shift: Shift, shop: ServerShop, at: number): void {
  const stored = new Map(shop.entries.map(({ wire }) => [wire.id, wire]));
  const shown = shift.present().flatMap((phone) => phone.disk.rows<Refused>("refused"));
  const refused = new Set(shown.map((row) => row.id));
  // Of a phone that is gone the server's own list is what a person can see.
  for (const id of shop.refused) if (shift.ledger.gone.has(id)) refused.add(id);
  for (const [id, { entry, phone, shop: home }] of shift.ledger.saved) {
    if (home !== at) continue;
    const wire = stored.get(id);
    if (wire) checkContent(shift, entry, wire);
    else if (!refused.has(id) && !isLeftBehind(shift, phone)) checkLost(shift, shop, entry);
  }
}

/** It had been sent and left the phone with the workshop; then the workshop's server was restored. */
function isLeftBehind(shift: Shift, phone: Phone): boolean {
  return shift.wasRestored && shift.ledger.moved.has(phone);
}

function checkContent(shift: Shift, said: Entry, stored: Entry): void {
  for (const field of Object.keys(said) as Array<keyof Entry>) {
    if (!isDeepStrictEqual(said[field], stored[field]))
      shift.fail(`${said.id} has another ${field} at the server`);
  }
}

function checkLost(shift: Shift, shop: ServerShop, entry: Entry): void {
  const { gone, restoredAway } = shift.ledger;
  if (restoredAway.has(entry.id)) {
    shift.world.count("lost with a restore: no phone had it any more");
    return;
  }
  if (!gone.has(entry.id)) {
    shift.fail(`LOST: ${entry.kind} ${entry.id}, number ${entry.n} of ${entry.device}`);
    return;
  }
  shift.world.count("lost with its phone");
  // A copy of the phone may have used the same number; then the count shows no gap.
  const shared = shop.entries.some(
    ({ device_id, n }) => device_id === entry.device && n === entry.n,
  );
  if (shared || entry.n > (shift.server.told.get(entry.device) ?? 0)) return;
  const works = shop.entries.some(
    ({ device_id, job_id }) => device_id === entry.device && job_id === entry.job,
  );
  const device = shop.devices.find((each) => each.id === entry.device);
  const missing = shop.jobs[entry.job]?.missing[entry.device] ?? [];
  if (works && device && !device.written_off_at && !missing.includes(entry.n))
    shift.fail(`nobody at the desk can know that ${entry.n} of ${entry.device} is missing`);
}

type PhotoRow = { sha256: string; refused?: string };

/** A photo is there as it was taken: its size is that of no other photo. */
export function checkPictures(shift: Shift, shop: ServerShop, at: number): void {
  const rows = shift.present().flatMap((phone) => phone.disk.rows<PhotoRow>("photos"));
  const held = new Set(rows.map((row) => row.sha256));
  const refused = new Set(rows.flatMap((row) => (row.refused === undefined ? [] : row.sha256)));
  for (const [sha256, { width, height, shop: home, entry, phone }] of shift.ledger.pictures) {
    if (home !== at) continue;
    const stored = shop.photos[sha256];
    if (stored && (stored[0] !== width || stored[1] !== height))
      shift.fail(`photo ${sha256} is another picture at the server`);
    const isGone =
      isLeftBehind(shift, phone) || (shift.ledger.photosGone.has(sha256) && !held.has(sha256));
    if (!stored && !refused.has(sha256) && !isGone) shift.fail(`LOST: photo ${sha256} of ${entry}`);
  }
}

/** Its phone is gone with it, or somebody took it off the list. */
function isWalkInGone(shift: Shift, job: string, phone: Phone): boolean {
  return isLeftBehind(shift, phone) || shift.ledger.walkInsGone.has(job);
}

/** Each bike taken in at a stand has its job at the desk, or is shown as refused on its phone. */
export function checkWalkIns(shift: Shift, shop: ServerShop, at: number): void {
  type Row = { id: string; refused?: string };
  const rows = shift.present().flatMap((phone) => phone.disk.rows<Row>("walk_ins"));
  const refused = new Set(rows.filter((row) => row.refused !== undefined).map((row) => row.id));
  for (const [job, { shop: home, bike, phone }] of shift.ledger.walkIns) {
    const opened = shop.jobs[job];
    if (home !== at) {
      if (opened) shift.fail(`walk-in ${job} was opened in another workshop`);
      continue;
    }
    if (opened) checkOpened(shift, job, opened, bike);
    else if (!refused.has(job) && !isWalkInGone(shift, job, phone))
      shift.fail(`LOST: walk-in ${job}`);
  }
}

function checkOpened(shift: Shift, job: string, opened: ServerJob, bike: string): void {
  if (opened.bike !== bike)
    shift.fail(`walk-in ${job} is “${opened.bike}” at the desk, not “${bike}”`);
  if (opened.openings !== 1) shift.fail(`walk-in ${job} was opened ${opened.openings} times`);
}
