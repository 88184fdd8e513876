/* What one key of the pad makes of what was typed. Pure. */

/** What the field holds after one key; a reading has at most one decimal point and eight characters. */
export function press(current: string, key: string): string {
  if (key === "back") return current.slice(0, -1);
  if (key === "clear") return "";
  if (key === "." && (current.includes(".") || current.includes(","))) return current;
  if (key === "." && current === "") return "0.";
  if (current.length >= 8) return current;
  return current === "0" && key !== "." ? key : current + key;
}
