/* What must be true when everything is quiet. */
import { isDeepStrictEqual } from "node:util";
import type { Entry } from "../../../frontend/src/journal/entry";
import type { Phone } from "./phone";
import { type Device, pictureOf, type ServerShop } from "./picture";
import { wait } from "./quiet";
import { entriesOn, type Shift } from "./shift";

export async function checkAll(shift: Shift): Promise<void> {
  await checkPages(shift);
  const shops = pictureOf(shift);
  for (const [at, shop] of shops.entries()) {
    const phones = shift.present().filter((phone) => phone.shop === at);
    checkNumbers(shift, shop);
    checkWaiting(shift, shop);
    checkNames(shift, shop, phones);
    for (const phone of phones) checkRefused(shift, shop, phone);
    checkOrigin(shift, shop, at);
    checkSaved(shift, shop, at);
    checkPictures(shift, shop, at);
    checkWalkIns(shift, shop, at);
    for (const phone of phones) checkPhone(shift, shop, phone);
    for (const device of shop.devices) checkRemembered(shift, shop, device);
  }
  await checkStill(shift);
}

/** The list and one job are drawn by every phone, and the list is folded anew where it was old. */
async function checkPages(shift: Shift): Promise<void> {
  for (const phone of shift.present()) {
    const look = async () => {
      const answer = await phone.tell("GET", "/bench/");
      if (answer.status !== 200) shift.fail(`${phone.name} shows ${answer.status} for its list`);
    };
    await wait(shift, phone, look());
  }
}

function checkNumbers(shift: Shift, shop: ServerShop): void {
  const hole = shop.entries.findIndex(({ seq }, at) => seq !== at + 1);
  if (hole >= 0) shift.fail(`the numbers of ${shop.id} have a hole or a repeat after ${hole}`);
  if (shop.last_seq !== shop.entries.length)
    shift.fail(`${shop.id} counts ${shop.last_seq} and has ${shop.entries.length}`);
  for (const [id, job] of Object.entries(shop.jobs)) {
    if (job.place !== job.state.place) shift.fail(`job ${id} is listed under an old place`);
  }
}

/** The desk waits only for what is gone with a phone; what never was would hold up a bike for ever. */
function checkWaiting(shift: Shift, shop: ServerShop): void {
  const { gone, restoredAway, saved } = shift.ledger;
  const lost = [...gone.values(), ...[...restoredAway].flatMap((id) => saved.get(id)?.entry ?? [])];
  const reasons = new Set(lost.map(({ device, n }) => `${device} ${n}`));
  for (const { missing } of Object.values(shop.jobs)) {
    for (const [device, ns] of Object.entries(missing)) {
      const odd = ns.filter((n) => !reasons.has(`${device} ${n}`));
      if (odd.length > 0) shift.fail(`the desk waits for ${odd} of ${device} in vain`);
    }
  }
}

/** Of phones with the same content at most one goes on under the old name once numbers have clashed. */
function checkNames(shift: Shift, shop: ServerShop, phones: Phone[]): void {
  const used = new Set<string>();
  const clashed = new Set<string>();
  for (const { device_id, n } of shop.entries) {
    if (used.has(`${device_id} ${n}`)) clashed.add(device_id);
    used.add(`${device_id} ${n}`);
  }
  const names = phones.map((phone) => phone.disk.row<{ device: string }>("meta", "device")?.device);
  for (const name of clashed) {
    if (names.filter((each) => each === name).length > 1)
      shift.fail(`several phones go on as ${name} although their numbers clash`);
  }
}

type Refused = { id: string; code: string; workshop?: string };

/** Only what the plan makes refusable is refused, and the server has kept it too. */
function checkRefused(shift: Shift, shop: ServerShop, phone: Phone): void {
  const kept = new Set(shop.refused);
  for (const { id, code } of phone.disk.rows<Refused>("refused")) {
    if (code === "other-workshop") continue;
    const expected = code === "unknown-person" || (code === "unknown-job" && shift.wasRestored);
    if (!expected) shift.fail(`${phone.name} had ${id} refused: ${code}`);
    if (!kept.has(id) && !shift.wasRestored)
      shift.fail(`${id} was refused, and the server has not kept it`);
  }
}

/** Every entry from a phone is one that a page of this workshop asked for, once. */
function checkOrigin(shift: Shift, shop: ServerShop, at: number): void {
  const phones = new Set(shop.devices.filter((each) => each.kind === "phone").map(({ id }) => id));
  const seen = new Set<string>();
  for (const { wire, device_id } of shop.entries) {
    if (seen.has(wire.id)) shift.fail(`${wire.id} is there twice`);
    seen.add(wire.id);
    if (!phones.has(device_id)) continue;
    if (!shift.ledger.issued.has(wire.id))
      shift.fail(`${wire.kind} ${wire.id} was never asked for`);
    const saved = shift.ledger.saved.get(wire.id);
    if (saved && saved.shop !== at) shift.fail(`${wire.id} went to another workshop`);
  }
}

/** What a person was told is saved is at the server, or where a person can see it refused. */
function checkSaved(shift: Shift, shop: ServerShop, at: number): void {
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
function checkPictures(shift: Shift, shop: ServerShop, at: number): void {
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
function checkWalkIns(shift: Shift, shop: ServerShop, at: number): void {
  type Row = { id: string; refused?: string };
  const rows = shift.present().flatMap((phone) => phone.disk.rows<Row>("walk_ins"));
  const refused = new Set(rows.filter((row) => row.refused !== undefined).map((row) => row.id));
  for (const [job, { shop: home, bike, phone }] of shift.ledger.walkIns) {
    const opened = shop.jobs[job];
    if (home !== at) {
      if (opened) shift.fail(`walk-in ${job} was opened in another workshop`);
      continue;
    }
    if (opened && opened.bike !== bike)
      shift.fail(`walk-in ${job} is “${opened.bike}” at the desk, not “${bike}”`);
    if (opened && opened.openings !== 1)
      shift.fail(`walk-in ${job} was opened ${opened.openings} times`);
    if (!opened && !refused.has(job) && !isWalkInGone(shift, job, phone))
      shift.fail(`LOST: walk-in ${job}`);
  }
}

/** The phone has what the server has, and both come to the same. */
function checkPhone(shift: Shift, shop: ServerShop, phone: Phone): void {
  const stored = new Set(shop.entries.map(({ wire }) => wire.id));
  const rows = phone.disk.rows<{ id: string; entry: Entry }>("entries");
  for (const { id, entry } of rows) {
    if (!stored.has(id)) shift.fail(`${phone.name} has ${entry.kind} ${id}, the server has not`);
    stored.delete(id);
  }
  if (stored.size > 0) shift.fail(`${phone.name} lacks ${[...stored].join(", ")}`);
  for (const [job, { state }] of Object.entries(shop.jobs)) {
    const folded = JSON.parse(JSON.stringify(shift.library.fold(entriesOn(phone, job))));
    if (!isDeepStrictEqual(folded, state))
      shift.fail(`${phone.name} and the server differ about ${job}: ${difference(folded, state)}`);
    checkListed(shift, phone, job, state.place);
  }
}

function checkListed(shift: Shift, phone: Phone, job: string, place: string): void {
  type Row = { stale: boolean; summary: { place: string } | null };
  const row = phone.disk.row<Row>("jobs", job);
  if (!row) shift.fail(`${phone.name} does not list ${job}`);
  else if (row.stale || row.summary?.place !== place)
    shift.fail(`${phone.name} lists ${job} as ${row.summary?.place}, it is ${place}`);
}

function difference(one: object, other: object): string {
  const fields = Object.keys(other) as Array<keyof typeof other>;
  return fields.filter((field) => !isDeepStrictEqual(one[field], other[field])).join(", ");
}

/** The server remembers how far each phone has counted, or it could not know what is missing. */
function checkRemembered(shift: Shift, shop: ServerShop, device: Device): void {
  const told = shift.server.told.get(device.id) ?? 0;
  const known = new Set(device.refused_ns);
  for (const each of shop.entries) if (each.device_id === device.id) known.add(each.n);
  if (Math.max(device.last_n, ...known) < told)
    shift.fail(`${device.id} had counted to ${told}, the server remembers ${device.last_n}`);
}

/** Another round brings nothing new in either direction. */
async function checkStill(shift: Shift): Promise<void> {
  shift.server.syncs = [];
  for (const phone of shift.present()) await wait(shift, phone, phone.tell("POST", "/bench/sync"));
  for (const { device, sent, got } of shift.server.syncs) {
    if (sent > 0 || got > 0)
      shift.fail(`${device} still sends ${sent} and gets ${got} when all is quiet`);
  }
}
