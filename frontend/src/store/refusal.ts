/* What photos and walk-ins have in common with entries: they wait, they are taken, or they are refused for a reason. Pure. */

/** A word of the wire, and a sentence for the person. */
export type Refusal = { code: string; message: string };

/** This phone belongs to another workshop now; what was meant for the first is never sent to it. */
export const OTHER_WORKSHOP = "other-workshop";

export type Sendable = {
  unsent?: number;
  refused?: string;
  code?: string;
  removed?: string;
  removed_at?: string;
  workshop?: string;
};

/** Neither waiting nor refused. */
export function settled<Row extends Sendable>(row: Row): Row {
  const { unsent: _, refused: __, code: ___, workshop: ____, ...rest } = row;
  return rest as Row;
}

export function refusedAs<Row extends Sendable>(row: Row, refusal: Refusal): Row {
  return { ...settled(row), refused: refusal.message, code: refusal.code };
}

/** Taken off the list by a person. */
export function removed<Row extends Sendable>({ refused, ...row }: Row, at: string): Row {
  return { ...row, ...(refused !== undefined && { removed: refused, removed_at: at }) } as Row;
}

export function broughtBack<Row extends Sendable>(row: Row): Row {
  const { removed: refused, removed_at: _, ...rest } = row;
  return { ...rest, ...(refused !== undefined && { refused }) } as Row;
}
