/* Bodies are gzipped where the browser can. */

export async function packed(
  text: string,
): Promise<{ body: BodyInit; encoding: Record<string, string> }> {
  if (typeof CompressionStream === "undefined") return { body: text, encoding: {} };
  const stream = new Response(text).body?.pipeThrough(new CompressionStream("gzip"));
  const body = await new Response(stream).arrayBuffer();
  return { body, encoding: { "Content-Encoding": "gzip" } };
}
