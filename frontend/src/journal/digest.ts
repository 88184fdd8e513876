/* Under which name does a route travel? The SHA-256 of its canonical JSON, as the server has it. */
import { canonicalJson } from "./values";

export async function digestOf(value: unknown): Promise<string> {
  const bytes = new TextEncoder().encode(canonicalJson(value));
  const digest = await crypto.subtle.digest("SHA-256", bytes);
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
