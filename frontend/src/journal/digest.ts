/* SHA-256 as hexadecimal digits: the name of a photo, and of a route. */
import { canonicalJson } from "./values";

export async function sha256(bytes: BufferSource): Promise<string> {
  const digest = await crypto.subtle.digest("SHA-256", bytes);
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** Of a value's canonical JSON: under this name a route travels. */
export async function digestOf(value: unknown): Promise<string> {
  return sha256(new TextEncoder().encode(canonicalJson(value)));
}
