/* One run from its seed: a shop, its phones, a plan, and everything that is known about them. */
import type { Entry } from "../../../frontend/src/journal/entry";
import type { Step } from "../../../frontend/src/journal/route";
import type { JobState } from "../../../frontend/src/journal/state";
import { Ledger } from "./ledger";
import { Network } from "./network";
import { Phone } from "./phone";
import type { Pipe } from "./pipe";
import type { PhonePlan, Plan } from "./plan";
import type { Program } from "./program";
import { Random } from "./random";
import { Server } from "./server";
import { World } from "./world";

export type Library = { fold: (entries: Entry[]) => JobState };
export type ShopFacts = { id: string; people: Record<string, string>; jobs: string[] };

/** A Monday at noon. */
const NOON = Date.UTC(2026, 2, 2, 12);

export type Kit = { pipe: Pipe; program: Program; library: Library };

export class Shift {
  readonly world: World;
  readonly server: Server;
  readonly network: Network;
  readonly ledger = new Ledger();
  readonly library: Library;
  readonly plan: Plan;
  readonly random: Random;
  readonly phones: Phone[] = [];
  readonly wrong: string[] = [];
  #pictures = 0;
  shops: ShopFacts[] = [];
  wasRestored = false;
  quiet = false;
  readonly #program: Program;

  constructor(plan: Plan, kit: Kit, keepTrace: boolean) {
    this.plan = plan;
    this.library = kit.library;
    this.#program = kit.program;
    this.random = new Random(`run/${plan.seed}`);
    this.world = new World(NOON, keepTrace);
    const trouble = (what: string) => this.fail(what);
    this.server = new Server(this.world, kit.pipe, this.random.fork("server"), trouble);
    this.network = new Network(this.world, this.server, this.random.fork("network"));
  }

  /** Something is not as it must be. */
  fail(what: string): void {
    this.world.note(`WRONG: ${what}`);
    this.wrong.push(what);
  }

  /** The number of the next picture. */
  takePicture(): number {
    this.#pictures += 1;
    return this.#pictures;
  }

  open(): void {
    this.shops = this.server.open(this.plan.seed, this.plan.jobs).shops as ShopFacts[];
    for (const wanted of this.plan.phones) this.addPhone(wanted);
  }

  addPhone(wanted: PhonePlan): Phone {
    const name = `p${this.phones.length}`;
    const phone = new Phone({
      name,
      shop: wanted.shop,
      shops: this.shops.map(({ id }) => id),
      world: this.world,
      random: this.random.fork(name),
      network: this.network,
      program: this.#program,
      trouble: (what) => this.fail(what),
    });
    phone.line.bad = wanted.bad;
    phone.clockOffset = wanted.clockOffset;
    phone.username = wanted.username;
    this.phones.push(phone);
    return phone;
  }

  /** The phones that somebody still has in the hand. */
  present(): Phone[] {
    return this.phones.filter((phone) => !phone.gone);
  }

  shopOf(phone: Phone): ShopFacts {
    return this.shops[phone.shop] as ShopFacts;
  }
}

type EntryRow = { id: string; job: string; entry: Entry };

/** A job as its phone folds it now. */
export function entriesOn(phone: Phone, job: string): Entry[] {
  return phone.disk
    .rows<EntryRow>("entries")
    .filter((row) => row.job === job)
    .map((row) => row.entry);
}

/** The steps that are ticked, of the job's route as it is on the phone. */
export function stepsOn(phone: Phone, job: string): string[] {
  const route = phone.disk.row<{ route: string }>("headers", job)?.route ?? "";
  const steps = phone.disk.row<{ steps: Step[] }>("routes", route)?.steps ?? [];
  return steps.filter((step) => step.kind === "work").map((step) => step.key);
}

export function jobsOn(phone: Phone): string[] {
  return phone.disk.rows<{ id: string }>("headers").map((row) => row.id);
}
