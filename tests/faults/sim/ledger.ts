/* What a person was told is saved, and what may be missing at the end for a reason that cannot be helped. */
import type { Entry } from "../../../frontend/src/journal/entry";
import type { Phone } from "./phone";

/** `shop` is the one it was written for. */
export type Saved = { entry: Entry; phone: Phone; shop: number };
export type WalkIn = { phone: Phone; shop: number; bike: string };
type EntryRow = { id: string; entry: Entry; own: boolean; unsent?: number };
type WalkInRow = { id: string };
type PhotoRow = { sha256: string };
type RefusedRow = { id: string; entry: Entry };
export type Picture = { width: number; height: number; phone: Phone; shop: number; entry: string };

export class Ledger {
  /** Every id that a page gave to an action. */
  readonly issued = new Set<string>();
  readonly saved = new Map<string, Saved>();
  readonly pictures = new Map<string, Picture>();
  /** Gone with a phone that was lost or whose storage was thrown away. */
  readonly gone = new Map<string, Entry>();
  /** The server had it, lost it by the restore, and no phone has it any more. */
  readonly restoredAway = new Set<string>();
  readonly photosGone = new Set<string>();
  /** Phones that went to another workshop: what the first had taken was wiped from them. */
  readonly moved = new Set<Phone>();
  readonly walkIns = new Map<string, WalkIn>();
  readonly walkInsGone = new Set<string>();

  /** The page was told that this is saved: from here on it must never be missing. */
  save(phone: Phone, id: string): boolean {
    const kept =
      phone.disk.row<EntryRow>("entries", id) ?? phone.disk.row<RefusedRow>("refused", id);
    if (!kept) return false;
    this.saved.set(id, { entry: kept.entry, phone, shop: phone.shop });
    return true;
  }

  /** All that only this disk has is gone; of what had been sent, what a restore took since. */
  forget(phone: Phone, onServer: ReadonlySet<string>): void {
    for (const row of phone.disk.rows<EntryRow>("entries")) {
      if (row.unsent !== undefined) this.gone.set(row.id, row.entry);
      else if (row.own && !onServer.has(row.id)) this.restoredAway.add(row.id);
    }
    for (const row of phone.disk.rows<RefusedRow>("refused")) this.gone.set(row.id, row.entry);
    for (const row of phone.disk.rows<PhotoRow>("photos")) this.photosGone.add(row.sha256);
    for (const row of phone.disk.rows<WalkInRow>("walk_ins")) this.walkInsGone.add(row.id);
  }

  /** After a restore: what neither the server has nor any phone could offer again. */
  restored(onServer: ReadonlySet<string>, phones: readonly Phone[]): void {
    const held = new Set(phones.flatMap(namesOn));
    for (const id of this.saved.keys())
      if (!onServer.has(id) && !held.has(id)) this.restoredAway.add(id);
    for (const id of this.walkIns.keys()) if (!held.has(id)) this.walkInsGone.add(id);
    for (const sha256 of this.pictures.keys()) if (!held.has(sha256)) this.photosGone.add(sha256);
  }
}

/** All that this phone would offer to a server that does not have it. */
function namesOn({ disk }: Phone): string[] {
  return [
    ...disk.rows<EntryRow>("entries").flatMap(({ id, own }) => (own ? id : [])),
    ...disk.rows<RefusedRow>("refused").map(({ id }) => id),
    ...disk.rows<PhotoRow>("photos").map(({ sha256 }) => sha256),
    ...disk.rows<WalkInRow>("walk_ins").map(({ id }) => id),
  ];
}
