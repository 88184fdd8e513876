/* What photos and walk-ins have in common with entries: they wait, they are taken, or they are refused for a reason. */

/** A word of the wire, and a sentence for the person. */
export type Refusal = { code: string; message: string };

type Sendable = { unsent?: number; refused?: string; code?: string };

/** Neither waiting nor refused. */
export function settled<Row extends Sendable>(row: Row): Row {
  const { unsent: _, refused: __, code: ___, ...rest } = row;
  return rest as Row;
}

export function refusedAs<Row extends Sendable>(row: Row, refusal: Refusal): Row {
  return { ...settled(row), refused: refusal.message, code: refusal.code };
}
