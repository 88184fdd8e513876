/* What happens in one run, and when: drawn from the seed before anything starts, so that it can be shortened. */
import { Random } from "./random";

/** One thing that happens; `draw` names the chance it uses, so that leaving others out changes nothing for it. */
export type Step = { at: number; what: string; phone: number; job: number; draw: string };

export type PhonePlan = { username: string; shop: number; bad: number; clockOffset: number };

export type Plan = {
  seed: string;
  phones: PhonePlan[];
  jobs: number;
  lengthMs: number;
  deadly: number;
  steps: Step[];
};

const ACTIONS = {
  tick: 30,
  "not needed": 4,
  reading: 18,
  choice: 6,
  check: 3,
  note: 10,
  finding: 6,
  photo: 6,
  hands: 5,
  undo: 4,
  "take back": 5,
  settle: 6,
  look: 4,
  sync: 6,
  person: 2,
};

/** Each is on in some seeds and off in others, with how often it happens where it is on. */
const FAULTS: Record<string, { share: number; times: [number, number]; steps: string[] }> = {
  offline: { share: 0.55, times: [1, 4], steps: ["go offline"] },
  "worker stops": { share: 0.5, times: [1, 5], steps: ["stop worker"] },
  "browser closes": { share: 0.35, times: [1, 3], steps: ["close browser"] },
  "power cuts": { share: 0.3, times: [1, 3], steps: ["power cut"] },
  "server down": { share: 0.3, times: [1, 2], steps: ["server down"] },
  "second worker": { share: 0.25, times: [1, 2], steps: ["second worker"] },
  "slow disk": { share: 0.2, times: [1, 2], steps: ["slow disk", "disk hangs"] },
  "full disk": { share: 0.15, times: [1, 2], steps: ["full disk"] },
  clocks: { share: 0.3, times: [1, 3], steps: ["clock jumps"] },
  eviction: { share: 0.18, times: [1, 1], steps: ["evict"] },
  clone: { share: 0.18, times: [1, 1], steps: ["clone"] },
  restore: { share: 0.25, times: [1, 1], steps: ["restore"] },
  revocation: { share: 0.2, times: [1, 2], steps: ["revoke"] },
  "lost phone": { share: 0.1, times: [1, 1], steps: ["lose phone"] },
  desk: {
    share: 0.7,
    times: [2, 6],
    steps: ["offer", "answer", "withdraw", "promise", "release", "release", "take_back"],
  },
  endings: {
    share: 0.2,
    times: [1, 2],
    steps: ["collect", "cancel"],
  },
  "walk-ins": { share: 0.25, times: [1, 3], steps: ["walk-in"] },
  "other shop": { share: 0.06, times: [1, 2], steps: ["move"] },
  strangers: { share: 0.2, times: [1, 2], steps: ["stranger"] },
  again: { share: 0.3, times: [1, 3], steps: ["send again"] },
  renewal: { share: 0.3, times: [1, 2], steps: ["sign in"] },
};

const YEAR_MS = 365 * 86_400_000;

export function wrongClock(random: Random): number {
  return random.pick([
    random.int(-90_000, 90_000),
    random.int(-3, 3) * 3_600_000,
    random.int(-4, 4) * YEAR_MS + random.int(0, 86_400_000),
  ]);
}

export function planFor(seed: string): Plan {
  const random = new Random(`plan/${seed}`);
  const lengthMs = random.int(40_000, 150_000);
  const count = 2 + Math.floor(random.next() ** 2 * 4);
  const clocks = random.chance(0.3);
  const network = random.chance(0.65) ? random.between(0.05, 0.5) : 0;
  const phones: PhonePlan[] = [];
  for (let at = 0; at < count; at += 1) {
    phones.push({
      username: random.pick(["otto", "mira", "ivo"]),
      shop: 0,
      bad: random.chance(0.7) ? network : 0,
      clockOffset: clocks && random.chance(0.5) ? wrongClock(random) : 0,
    });
  }
  if (random.chance(0.2)) phones.push({ username: "sam", shop: 1, bad: network, clockOffset: 0 });
  const jobs = random.int(1, 2);
  const deadly = random.chance(0.4) ? random.between(0.02, 0.2) : 0;
  const steps = [
    ...actionSteps(random, { jobs, lengthMs }),
    ...faultSteps(random, { jobs, lengthMs }),
  ].map((step, at) => ({ ...step, draw: `${seed}/${at}` }));
  steps.sort((one, other) => one.at - other.at);
  return { seed, phones, jobs, lengthMs, deadly, steps };
}

type Size = { jobs: number; lengthMs: number };
type Undrawn = Omit<Step, "draw">;

function step(random: Random, size: Size, what: string, at: number): Undrawn {
  // Divided by how many phones there are by then: a copied one gets its share of the work.
  const phone = random.int(0, 59);
  return { at: Math.round(at), what, phone, job: random.int(0, size.jobs - 1) };
}

/** People work in bursts: several taps in a row on the same phone. */
function actionSteps(random: Random, size: Size): Undrawn[] {
  const steps: Undrawn[] = [];
  const wanted = random.int(10, 32);
  while (steps.length < wanted) {
    const first = step(random, size, "tick", random.between(0, size.lengthMs));
    const burst = random.int(1, 5);
    for (let at = 0; at < burst; at += 1) {
      const time = first.at + at * random.int(30, 3_000);
      steps.push({ ...first, at: time, what: random.weighted(ACTIONS) });
    }
  }
  return steps;
}

function faultSteps(random: Random, size: Size): Undrawn[] {
  const steps: Undrawn[] = [];
  for (const { share, times, steps: kinds } of Object.values(FAULTS)) {
    if (!random.chance(share)) continue;
    const count = random.int(...times);
    for (let at = 0; at < count; at += 1) {
      steps.push(step(random, size, random.pick(kinds), random.between(0, size.lengthMs)));
    }
  }
  const restore = steps.find((each) => each.what === "restore");
  if (restore) steps.push(...aroundRestore(random, size, restore.at));
  return steps;
}

/** A backup long enough before, and phones that hear of the restore and are stopped over it. */
function aroundRestore(random: Random, size: Size, at: number): Undrawn[] {
  const steps = [step(random, size, "back up", at * random.next())];
  for (let heard = random.int(0, 2); heard > 0; heard -= 1) {
    const ends = step(random, size, random.pick(["stop worker", "power cut"]), at + 50);
    steps.push(ends, { ...ends, what: "sync", at: ends.at + 3 * random.int(1, 400) });
  }
  return steps;
}
