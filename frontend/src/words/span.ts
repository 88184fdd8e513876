/* How long it is since an instant, as the key and the values of a sentence; worker and page say it in their own catalogues. */

const MINUTE_MS = 60_000;

type Span = { key: "minutes" | "hours"; values: Record<string, string | number> };

export function spanSince(iso: string, now: number): Span {
  const all = Math.max(0, Math.floor((now - Date.parse(iso)) / MINUTE_MS));
  if (all < 60) return { key: "minutes", values: { n: all } };
  const minutes = String(all % 60).padStart(2, "0");
  return { key: "hours", values: { hours: Math.floor(all / 60), minutes } };
}
