/* The server's photos in memory: taken in pieces, given out small or whole. */

type Part = { bytes: Uint8Array; length: number };

const PICTURE = { "Content-Type": "image/jpeg" };

export class FakePhotos {
  whole = new Map<string, Uint8Array>();
  parts = new Map<string, Part>();
  /** Answered to a piece instead of taking it. */
  trouble: { status: number; message: string } | undefined;

  async answer(url: string, request: Request): Promise<Response> {
    const { pathname } = new URL(`http://shop.example.org${url}`);
    const sha256 = pathname.split("/").at(-1) ?? "";
    if (request.method === "HEAD") return this.head(sha256);
    if (request.method === "GET") return this.get(sha256);
    if (this.trouble) {
      const { status, message } = this.trouble;
      return Response.json({ code: "not-a-photo", message }, { status });
    }
    return this.patch(sha256, request);
  }

  private head(sha256: string): Response {
    if (this.whole.has(sha256)) return new Response(null, { status: 200, headers: PICTURE });
    return placeOf(404, this.parts.get(sha256)?.bytes.length ?? 0);
  }

  private get(sha256: string): Response {
    const bytes = this.whole.get(sha256);
    return bytes
      ? new Response(bytes.slice(), { headers: PICTURE })
      : new Response(null, { status: 404 });
  }

  private async patch(sha256: string, request: Request): Promise<Response> {
    const number = (name: string) => Number(request.headers.get(name));
    const part = this.parts.get(sha256) ?? {
      bytes: new Uint8Array(),
      length: number("Upload-Length"),
    };
    if (number("Upload-Offset") !== part.bytes.length) return placeOf(409, part.bytes.length);
    const chunk = new Uint8Array(await request.arrayBuffer());
    const bytes = new Uint8Array(part.bytes.length + chunk.length);
    bytes.set(part.bytes);
    bytes.set(chunk, part.bytes.length);
    this.parts.set(sha256, { ...part, bytes });
    if (bytes.length === part.length) this.whole.set(sha256, bytes);
    return placeOf(204, bytes.length);
  }
}

function placeOf(status: number, offset: number): Response {
  return new Response(null, { status, headers: { "Upload-Offset": String(offset) } });
}
