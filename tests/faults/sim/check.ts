/* What must be true when everything is quiet. */
import { isDeepStrictEqual } from "node:util";
import type { Entry } from "../../../frontend/src/journal/entry";
import { checkPictures, checkSaved, checkWalkIns } from "./check-saved";
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
  type Row = { stale: boolean; house?: number; summary: { place: string } | null };
  const row = phone.disk.row<Row>("jobs", job);
  const isOver = place === "collected" || place === "cancelled";
  if (!row) shift.fail(`${phone.name} does not know ${job}`);
  else if ((row.house === undefined) !== isOver)
    shift.fail(`${phone.name} ${isOver ? "still lists" : "does not list"} ${job}: ${place}`);
  else if (isOver) return;
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
