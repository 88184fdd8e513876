/* How each thing of a plan happens. */
import type { Entry } from "../../../frontend/src/journal/entry";
import { joinShop } from "./joining";
import { type Happening, MISHAPS } from "./mishaps";
import { type Seen, TAPPED, type Tap, tapFor, walkInTap } from "./people";
import type { Answer, Phone } from "./phone";
import type { Step } from "./plan";
import { Random } from "./random";
import { checkRelease } from "./released";
import { entriesOn, jobsOn, type Shift, stepsOn } from "./shift";

/** Starts it; what a person waits for goes on by itself and ends with the browser. */
export function perform(shift: Shift, step: Step): void {
  const phone = shift.phones[step.phone % shift.phones.length];
  if (!phone || phone.gone) return;
  const random = new Random(step.draw);
  const happen = HAPPENINGS[step.what] ?? DESK;
  shift.world.note(`${phone.name} · ${step.what}`);
  shift.world.count(happen === tap ? "taps" : step.what);
  Promise.resolve(happen(shift, phone, step, random)).catch((error: unknown) =>
    shift.fail(`${step.what}: ${error instanceof Error ? (error.stack ?? error) : error}`),
  );
}

function jobFor(shift: Shift, phone: Phone, step: Step): string | undefined {
  const jobs = jobsOn(phone);
  const wanted = shift.shopOf(phone).jobs[step.job];
  // Bikes that came in meanwhile get their share of the work.
  if (step.at % 4 === 0) return jobs[step.at % Math.max(1, jobs.length)];
  return wanted && jobs.includes(wanted) ? wanted : jobs[0];
}

function seenOn(shift: Shift, phone: Phone, job: string, pictures: number): Seen {
  const entries = entriesOn(phone, job);
  const me = phone.disk.row<string>("meta", "person") ?? "";
  const isKnown = shift.shopOf(phone).jobs.includes(job);
  const state = shift.library.fold(entries);
  return { job, entries, me, isKnown, state, steps: stepsOn(phone, job), pictures };
}

async function tap(shift: Shift, phone: Phone, step: Step, random: Random): Promise<void> {
  const job = jobFor(shift, phone, step);
  if (!job) return;
  const wanted = tapFor(step.what, seenOn(shift, phone, job, shift.takePicture()), random);
  if (!wanted) return;
  const id = idFor(random, phone);
  for (const each of idsFrom(id)) shift.ledger.issued.add(each);
  const twice = random.chance(0.06);
  const asked = ask(phone, wanted, id);
  if (twice) await ask(phone, wanted, id);
  settle(shift, phone, wanted, id, await asked);
}

/** The page makes the id, by the phone's clock. */
function idFor(random: Random, phone: Phone): string {
  const time = Math.max(0, Math.floor(phone.now())).toString(16).padStart(12, "0");
  const rest = random.uuid();
  return `${time.slice(0, 8)}-${time.slice(8)}-7${rest.slice(15)}`;
}

/** One tap can make several entries, named one after the other. */
function idsFrom(id: string): string[] {
  const last = Number.parseInt(id.slice(-4), 16);
  return [0, 1, 2, 3].map(
    (nth) => id.slice(0, -4) + ((last + nth) % 0x10000).toString(16).padStart(4, "0"),
  );
}

function ask(phone: Phone, { path, form, picture }: Tap, id: string): Promise<Answer> {
  const headers = { "X-Entry-Id": id, "HX-Request": "true", "X-Page": "page" };
  if (!picture) return phone.tell("POST", path, { headers, body: new URLSearchParams(form) });
  return phone.tell("POST", path, {
    headers: { ...headers, "Content-Type": "image/png" },
    body: new Uint8Array(picture.bytes),
  });
}

/** What the page was told, held against what is on the disk at that moment. */
function settle(shift: Shift, phone: Phone, wanted: Tap, id: string, answer: Answer): void {
  phone.note(`${wanted.path.split("?")[0]} ${id.slice(-6)} → ${answer.status}`);
  if (answer.status === 500) shift.fail(`${phone.name} ${wanted.path} → 500: ${answer.text}`);
  if (answer.status >= 400) return;
  const [kept, ...more] = idsFrom(id).map((each) => shift.ledger.save(phone, each));
  shift.world.count("entries saved", more.filter(Boolean).length);
  if (!kept) shift.fail(`${phone.name} said that ${id} is saved, and it is not on the disk`);
  if (!kept) return;
  shift.world.count("entries saved");
  const sha256 = String(shift.ledger.saved.get(id)?.entry.body.sha256 ?? "");
  if (wanted.picture && sha256) {
    const { width, height } = wanted.picture;
    shift.ledger.pictures.set(sha256, { width, height, phone, shop: phone.shop, entry: id });
  }
}

/** A bike is taken in at the stand: its job must be opened at the server, once. */
async function takeIn(shift: Shift, phone: Phone, _: Step, random: Random): Promise<void> {
  const job = idFor(random, phone);
  const { path, form } = walkInTap(job, random);
  const answer = await phone.tell("POST", path, { body: new URLSearchParams(form) });
  phone.note(`walk-in ${job.slice(-6)} → ${answer.status}`);
  if (answer.status >= 500 && answer.status !== 507)
    shift.fail(`${phone.name} walk-in → ${answer.status}: ${answer.text}`);
  if (!phone.disk.row("walk_ins", job) || answer.status >= 400) return;
  shift.world.count("walk-ins kept");
  shift.ledger.walkIns.set(job, { phone, shop: phone.shop, bike: form?.bike ?? "" });
}

/** What was refused is tapped to go once more. */
async function sendAgain(_: Shift, phone: Phone): Promise<void> {
  const ids = (store: string, key: string) =>
    phone.disk
      .rows<Record<string, unknown>>(store)
      .filter((row) => store === "refused" || row.refused !== undefined)
      .map((row) => String(row[key]));
  for (const id of ids("refused", "id")) await phone.tell("POST", `/bench/kept/entry/${id}/again`);
  for (const id of ids("photos", "sha256"))
    await phone.tell("POST", `/bench/kept/photo/${id}/again`);
  for (const id of ids("walk_ins", "id"))
    await phone.tell("POST", `/bench/kept/walk-in/${id}/again`);
  await phone.tell("POST", "/bench/kept/send");
}

type EntryRow = { entry: Entry };

async function look(shift: Shift, phone: Phone, step: Step): Promise<void> {
  const job = jobFor(shift, phone, step);
  const photo = phone.disk.rows<EntryRow>("entries").find(({ entry }) => entry.kind === "photo");
  const paths = ["/bench/", "/bench/kept", "/bench/truth", "/bench/kept/export"];
  if (job) paths.push(`/bench/jobs/${job}`, `/bench/jobs/${job}/history`);
  if (photo) paths.push(`/bench/photos/${photo.entry.body.sha256}`);
  const answer = await phone.tell("GET", paths[step.at % paths.length] ?? "/bench/");
  if (answer.status >= 500 && answer.status !== 503 && answer.status !== 507)
    shift.fail(`${phone.name} could not show its pages: ${answer.status} ${answer.text}`);
}

/** The first is a person's own wish. */
const TRIGGERS = ["", "seen", "timer", "online"];

async function sync(_: Shift, phone: Phone, step: Step): Promise<void> {
  const trigger = TRIGGERS[step.at % TRIGGERS.length];
  await phone.tell("POST", "/bench/sync", { headers: trigger ? { "X-Trigger": trigger } : {} });
}

async function person(shift: Shift, phone: Phone, _: Step, random: Random): Promise<void> {
  const people = Object.values(shift.shopOf(phone).people);
  const body = new URLSearchParams({ person: random.pick(people), back: "/bench/" });
  await phone.tell("POST", "/bench/person", { body });
}

const DESK: Happening = (shift, phone, step) => {
  const jobs = shift.shopOf(phone).jobs;
  const answer = shift.server.desk(step.what, { job: jobs[step.job % jobs.length] });
  shift.world.note(`desk ${step.what}: ${JSON.stringify(answer ?? "no server")}`);
  if (answer?.done) shift.world.count(`desk: ${step.what} done`);
  if (answer?.released) checkRelease(shift, String(answer.released), phone.shop);
};

const HAPPENINGS: Record<string, Happening> = {
  ...MISHAPS,
  look,
  sync,
  person,
  "walk-in": takeIn,
  "send again": sendAgain,
  "sign in": (shift, phone) => joinShop(shift, phone, true),
};
for (const what of TAPPED) HAPPENINGS[what] = tap;
