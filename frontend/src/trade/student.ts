/**
 * Quantiles of Student's t, which few readings need in place of the normal distribution.
 * Source: Abramowitz and Stegun 26.7.3 and 26.7.4. See also shopfloor/trade/student.py.
 */

const HALVINGS = 200;

/** The value that an error stays below with a probability from one half to less than 1. */
export function tQuantile(probability: number, degrees: number): number {
  let low = 0;
  let high = 2;
  while (below(high, degrees) < probability) high *= 2;
  for (let n = 0; n < HALVINGS; n += 1) {
    const middle = (low + high) / 2;
    if (middle === low || middle === high) break;
    if (below(middle, degrees) < probability) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

function below(value: number, degrees: number): number {
  return (1 + within(value, degrees)) / 2;
}

/** The share of errors between -value and value. */
function within(value: number, degrees: number): number {
  const angle = Math.atan(value / Math.sqrt(degrees));
  const cosine = Math.cos(angle);
  const first = 1 + (degrees % 2);
  let term = first === 2 ? cosine : 1;
  let total = term;
  for (let m = first; m < degrees - 2; m += 2) {
    term *= (m / (m + 1)) * cosine ** 2;
    total += term;
  }
  if (first === 1) return Math.sin(angle) * total;
  return (2 / Math.PI) * (angle + (degrees > 1 ? Math.sin(angle) * total : 0));
}
