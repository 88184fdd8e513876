/* What goes wrong: with the signal, the worker, the browser, the battery, the storage, the server. */
import { joinShop } from "./joining";
import type { Phone } from "./phone";
import { pictureOf } from "./picture";
import { type Step, wrongClock } from "./plan";
import type { Random } from "./random";
import type { Shift } from "./shift";

export type Happening = (
  shift: Shift,
  phone: Phone,
  step: Step,
  random: Random,
) => void | Promise<void>;

/** The phone is made known to the other workshop; what it holds for the first must stay there. */
async function move(shift: Shift, phone: Phone): Promise<void> {
  if (phone.shop === 0 && shift.present().filter((each) => each.shop === 0).length < 2) return;
  phone.wanted = 1 - phone.shop;
  shift.ledger.moved.add(phone);
  phone.username = phone.wanted === 1 ? "sam" : "mira";
  await joinShop(shift, phone, true);
}

function goOffline(shift: Shift, phone: Phone, _: Step, random: Random): void {
  phone.line.online = false;
  phone.note("no signal");
  shift.world.after(random.between(1_000, 60_000), { alive: true }, () => {
    phone.line.online = true;
    if (!phone.page || shift.quiet) return;
    phone
      .tell("POST", "/bench/sync", { headers: { "X-Trigger": "online" } })
      .catch(() => undefined);
  });
}

/** At once, or in the middle of what the phone does next. */
function endSoon(end: (phone: Phone) => void): Happening {
  return (_, phone, _step, random) => {
    if (random.chance(0.25)) return end(phone);
    phone.disk.afterTurns(random.int(1, random.chance(0.5) ? 15 : 90), () => {
      phone.note("ends in the middle of its work");
      end(phone);
    });
  };
}

/** A new version of the worker runs beside the old one for a while: both write. */
async function secondWorker(shift: Shift, phone: Phone, _: Step, random: Random): Promise<void> {
  const other = phone.start();
  shift.world.after(random.between(500, 20_000), { alive: true }, () => {
    if (random.chance(0.5) && phone.run) phone.end(phone.run);
    else if (other.alive) phone.end(other);
    if (other.alive) phone.run = other;
  });
  // It may be stopped again before it has answered.
  await phone.once(other, "POST", "/bench/sync", {}).catch(() => undefined);
}

/** Somebody works here whom the server does not know: it may have been restored from before. */
function stranger(shift: Shift, phone: Phone, _: Step, random: Random): void {
  if (phone.disk.row("meta", "person") === undefined) return;
  phone.disk.write("meta", "person", random.uuid());
  shift.world.after(random.between(2_000, 20_000), { alive: true }, () => {
    const [someone] = Object.values(shift.shopOf(phone).people);
    if (phone.disk.row("meta", "person") !== undefined) phone.disk.write("meta", "person", someone);
  });
}

function evict(shift: Shift, phone: Phone): void {
  shift.ledger.forget(phone, entriesAtServer(shift));
  phone.evict();
  phone.background.forget();
}

function loseIt(shift: Shift, phone: Phone): void {
  if (shift.present().filter((each) => each.shop === phone.shop).length < 2) return;
  shift.ledger.forget(phone, entriesAtServer(shift));
  phone.closeBrowser();
  phone.background.forget();
  phone.gone = true;
}

function clone(shift: Shift, phone: Phone): void {
  phone.closeBrowser();
  const { username, shop, clockOffset } = phone;
  const copy = shift.addPhone({ username, shop, bad: phone.line.bad, clockOffset });
  phone.disk.copyTo(copy.disk);
  copy.note(`is a copy of ${phone.name}`);
}

function entriesAtServer(shift: Shift): Set<string> {
  return new Set(pictureOf(shift).flatMap((shop) => shop.entries.map(({ wire }) => wire.id)));
}

function restore(shift: Shift): void {
  if (!shift.server.restore()) return;
  shift.wasRestored = true;
  shift.ledger.restored(entriesAtServer(shift), shift.present());
}

function deviceOf(phone: Phone): string | undefined {
  return phone.disk.row<{ device: string }>("meta", "device")?.device;
}

function revoke(shift: Shift, phone: Phone): void {
  const device = deviceOf(phone);
  if (device) shift.server.desk("revoke", { device });
}

export const MISHAPS: Record<string, Happening> = {
  evict,
  stranger,
  clone,
  restore,
  revoke,
  "go offline": goOffline,
  "stop worker": endSoon((phone) => phone.stopWorker()),
  "close browser": endSoon((phone) => phone.closeBrowser()),
  "power cut": endSoon((phone) => phone.powerCut()),
  "server down": (shift, _phone, _step, random) => {
    shift.server.downUntil = shift.world.now + random.between(1_000, 40_000);
  },
  "second worker": secondWorker,
  "slow disk": (_, phone, _step, random) => {
    phone.disk.slow = random.between(1, 40);
  },
  "disk hangs": (_, phone, _step, random) => phone.disk.stall(random.between(1_000, 15_000)),
  "full disk": (shift, phone, _step, random) => {
    phone.disk.full = random.pick(["photos", "everything"]);
    shift.world.after(random.between(1_000, 20_000), { alive: true }, () => {
      phone.disk.full = "nothing";
    });
  },
  "clock jumps": (_, phone, _step, random) => {
    phone.clockOffset = wrongClock(random);
  },
  "lose phone": loseIt,
  "back up": (shift) => shift.server.backUp(),
  move,
};
