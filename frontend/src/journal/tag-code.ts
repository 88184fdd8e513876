/**
 * What is written on a bike's tag before the desk has given its job a number: four characters of the
 * job's id, the same on every phone.
 */

/** No letter that looks like a digit or another letter: 0 is never O, 1 never I or L. */
const LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

export function tagCode(job: string): string {
  const bits = Number.parseInt(job.slice(-5), 16);
  return [15, 10, 5, 0].map((shift) => LETTERS[(bits >> shift) & 31]).join("");
}
