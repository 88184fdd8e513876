/* The secret of a code from the desk: out of the address bar at once, kept for this tab until it is used. */
import { v7 } from "uuid";

const KEPT = "bench-code";
const ATTEMPT = "bench-code-attempt";

type Place = Pick<Location, "hash" | "pathname" | "search">;
type Kept = Pick<Storage, "getItem" | "setItem" | "removeItem">;

/** The secret that the page was opened with, or was before it had to be loaded again. */
export function takeSecret(
  place: Place = location,
  kept: Kept = sessionStorage,
  clear: (address: string) => void = (address) => history.replaceState(null, "", address),
): string {
  const scanned = secretIn(place.hash);
  if (place.hash) clear(place.pathname + place.search);
  if (scanned) keepSecret(scanned, kept);
  return scanned || (kept.getItem(KEPT) ?? "");
}

export function keepSecret(secret: string, kept: Kept = sessionStorage): void {
  if (kept.getItem(KEPT) === secret) return;
  kept.setItem(KEPT, secret);
  kept.setItem(ATTEMPT, v7());
}

/** Names this phone's try: should no answer come, the same try may be made again. */
export function attemptOf(kept: Kept = sessionStorage): string | null {
  return kept.getItem(ATTEMPT);
}

export function dropSecret(kept: Kept = sessionStorage): void {
  kept.removeItem(KEPT);
  kept.removeItem(ATTEMPT);
}

/** What somebody typed or pasted: the code alone, or the whole address with it. */
export function secretIn(text: string): string {
  return text
    .slice(text.indexOf("#") + 1)
    .replace(/[^0-9a-z]/gi, "")
    .toLowerCase();
}

/** In groups, as one reads it out. */
export function grouped(secret: string): string {
  return secret.replace(/(.{4})(?=.)/g, "$1 ");
}
