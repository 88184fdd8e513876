/*
 * Which devices this browser has been, told where the worker's database is not. If that database is cleared
 * alone, this is how the phone knows that something is gone.
 */
const KEPT = "bench-been";
const UUID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;
/** As many as the server takes; the oldest are forgotten first. */
const MOST = 50;

type Kept = Pick<Storage, "getItem" | "setItem">;

export function listBeen(kept: Kept = localStorage): string[] {
  try {
    const listed: unknown = JSON.parse(kept.getItem(KEPT) ?? "[]");
    return Array.isArray(listed) ? listed.filter(isUuid) : [];
  } catch {
    return [];
  }
}

/** A browser that keeps nothing here must not stop the phone from being made known. */
export function rememberBeen(device: string, kept: Kept = localStorage): void {
  const been = listBeen(kept).filter((each) => each !== device);
  try {
    kept.setItem(KEPT, JSON.stringify([...been, device].slice(-MOST)));
  } catch {
    return;
  }
}

/** What the server is told: what the worker knows, and what only this place remembers. */
export function formerNames(known: readonly string[], been: readonly string[]): string[] {
  return [...new Set([...been, ...known].filter(isUuid))].slice(-MOST);
}

function isUuid(value: unknown): value is string {
  return typeof value === "string" && UUID.test(value);
}
