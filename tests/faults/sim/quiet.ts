/* The faults stop, every phone comes back, and everybody syncs until nothing moves any more. */
import { joinShop } from "./joining";
import type { Phone } from "./phone";
import type { Shift } from "./shift";
import { EVER } from "./world";

/** The longest that a request may still be under way. */
const UNDER_WAY_MS = 100_000;
const ROUNDS = 12;
const PATIENCE_MS = 20 * 60_000;

export async function becomeQuiet(shift: Shift): Promise<void> {
  shift.quiet = true;
  const { world, server } = shift;
  const calm = () => {
    server.deadly = 0;
    server.downUntil = 0;
    for (const phone of shift.present()) {
      Object.assign(phone.line, { online: true, bad: 0 });
      Object.assign(phone.disk, { full: "nothing", slow: 0.2 });
      phone.disk.afterTurns(Number.POSITIVE_INFINITY, () => undefined);
    }
  };
  calm();
  world.after(UNDER_WAY_MS, EVER, calm);
  await world.run(world.now + UNDER_WAY_MS + 1);
  world.note("quiet");
  let behind = shift.present();
  for (let round = 0; round < ROUNDS && behind.length > 0; round += 1) {
    for (const phone of behind) await wait(shift, phone, joinShop(shift, phone));
    behind = [...whatMoves(shift).keys()];
  }
  if (behind.length > 0)
    shift.fail(`not still after ${ROUNDS} rounds: ${[...whatMoves(shift).values()].join("; ")}`);
}

/** Lives on until the work is done; work that never ends is a fault too. */
export async function wait(shift: Shift, phone: Phone, work: Promise<unknown>): Promise<void> {
  let done = false;
  work.then(
    () => {
      done = true;
    },
    (error: unknown) => {
      shift.fail(`${phone.name}: ${error instanceof Error ? (error.stack ?? error) : error}`);
      done = true;
    },
  );
  await shift.world.run(shift.world.now + PATIENCE_MS, () => done);
  if (!done) shift.fail(`${phone.name} waits for ever`);
}

type Unsent = { unsent?: number };
type Facts = { cursor: number; epoch: string | null; problem: string | null; message: string };

type Standing = { epoch: string; last_seq: number };

/** The phones that have not come to the server's end yet, each with the reason. */
function whatMoves(shift: Shift): Map<Phone, string> {
  const shops = shift.server.standing() as Record<string, Standing>;
  const found = shift.present().map((phone) => {
    const moves = movesOn(phone, shops[shift.shopOf(phone).id] as Standing);
    return [phone, moves.join("; ")] as const;
  });
  return new Map(found.filter(([, moves]) => moves !== ""));
}

function movesOn(phone: Phone, shop: Standing): string[] {
  const facts = phone.disk.row<Facts>("meta", "sync");
  const found: string[] = [];
  for (const store of ["entries", "photos", "walk_ins"]) {
    const count = phone.disk.rows<Unsent>(store).filter((row) => row.unsent !== undefined).length;
    if (count > 0) found.push(`${phone.name} keeps ${count} ${store}`);
  }
  if (facts?.cursor !== shop.last_seq)
    found.push(`${phone.name} stands at ${facts?.cursor} of ${shop.last_seq}`);
  if (facts?.epoch !== shop.epoch) found.push(`${phone.name} is in another epoch`);
  if (facts?.problem) found.push(`${phone.name}: ${facts.problem}, ${facts.message}`);
  return found;
}
