/* Writes one entry for a person's action: the id comes from the page, the clock and the person from here. */
import { v7 } from "uuid";
import type { Entry } from "../journal/entry";
import { appendEntry, appendPhoto, type Meanwhile, type NewEntry } from "../store/append";
import { StorageRefused } from "../store/database";
import { findPerson } from "../store/meta";
import type { PhotoRow } from "../store/schema";
import { say } from "../words/bench";
import type { BenchContext } from "./deps";

export type Action = Pick<Entry, "job" | "kind" | "body" | "supersedes">;

/** Nobody has said who works at this phone. */
export class NobodyAtWork extends Error {
  constructor() {
    super(say("person.nobody"));
    this.name = "NobodyAtWork";
  }
}

const UUID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i;

export function isUuid(text: string): boolean {
  return UUID.test(text);
}

/** One action of a person can take several entries: each has its own id, the same at every repeat. */
function nthId(id: string, nth: number): string {
  const last = (Number.parseInt(id.slice(-4), 16) + nth) % 0x10000;
  return id.slice(0, -4) + last.toString(16).padStart(4, "0");
}

async function complete(c: BenchContext, action: Action, nth = 0): Promise<NewEntry> {
  const by = c.var.frame?.me ?? (await findPerson());
  if (!by) throw new NobodyAtWork();
  const given = c.req.header("X-Entry-Id") ?? "";
  const id = isUuid(given) ? given.toLowerCase() : v7();
  return { id: nthId(id, nth), by, at: c.var.deps.now().toISOString(), ...action };
}

/** Safe to repeat with the same X-Entry-Id. */
export async function record(
  c: BenchContext,
  action: Action,
  nth = 0,
  meanwhile?: Meanwhile,
): Promise<Entry> {
  const fresh = await complete(c, action, nth);
  const entry = await appendEntry(fresh, { seen: c.var.seen, meanwhile });
  c.var.written = true;
  announce(c, action.job);
  return entry;
}

export async function recordPhoto(
  c: BenchContext,
  action: Action,
  photo: PhotoRow,
): Promise<Entry> {
  const entry = await appendPhoto(await complete(c, action), photo);
  announce(c, action.job);
  return entry;
}

export function announce(c: BenchContext, job: string): void {
  const { deps } = c.var;
  deps.changed([job], c.req.header("X-Page"));
  c.env.waitUntil?.(deps.syncer.soon());
}

/** The heads a person saw on the screen, as the page sent them. */
export function seenIds(text: unknown): string[] {
  return String(text ?? "")
    .split(",")
    .map((each) => each.trim().toLowerCase())
    .filter(isUuid);
}

/** A sentence for what a person can do something about; anything else rises. */
export function sentenceFor(error: unknown): string | undefined {
  if (error instanceof StorageRefused || error instanceof NobodyAtWork) return error.message;
  if (error instanceof Error && error.name === "NotEnrolled") return error.message;
  return undefined;
}

/** Read once, however often it is asked for. */
export function formOf(c: BenchContext): Promise<FormData> {
  c.var.form ??= c.env.form ? Promise.resolve(c.env.form) : c.req.raw.formData();
  return c.var.form;
}

export function textOf(form: FormData, name: string): string {
  const value = form.get(name);
  return typeof value === "string" ? value.trim() : "";
}
