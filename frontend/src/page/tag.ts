/* What a code in front of the camera says: the job of a tag of this workshop, somebody else's tag, or something else. Pure. */

export type Tag = { job: string } | "foreign" | "other";

const JOB = /^\/bench\/jobs\/([0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12})$/i;

/** A tag carries the whole address of its job; only one of this workshop's own address is opened. */
export function readTag(text: string, host: string): Tag {
  const url = addressIn(text);
  const job = url && JOB.exec(url.pathname)?.[1];
  if (!job) return "other";
  return url.host === host ? { job: job.toLowerCase() } : "foreign";
}

function addressIn(text: string): URL | undefined {
  try {
    return new URL(text.trim());
  } catch {
    return undefined;
  }
}
