/** Why a calculator gives no answer; who shows it puts the reason into words. */

export type Reason =
  | "count-the-links"
  | "too-few-readings"
  | "one-reading-for-each"
  | "same-distance"
  | "does-not-rise"
  | "scatters-too-much"
  | "reaches-past-the-grip"
  | "tool-too-coarse"
  | "no-uncertainty"
  | "no-mark"
  | "unknown-thread"
  | "unknown-class"
  | "unknown-size"
  | "outside-the-chart"
  | "unknown-fluid";

/** See also the errors of shopfloor/trade/*.py, which say the same in whole sentences. */
export class Refusal extends Error {
  readonly reason: Reason;
  constructor(reason: Reason) {
    super(reason);
    this.name = "Refusal";
    this.reason = reason;
  }
}
