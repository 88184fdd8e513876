/*
 * The direct line between a page and the worker. A message goes straight there, while a request goes round by the
 * browser, which on a slow phone takes longer than the work itself. Nothing hangs on the line: a worker that was
 * stopped does not hear it, and the page then makes a request as ever, under the same id.
 */

/** A form that was sent; `id` tells the answers apart. */
export type LineForm = { id: number; url: string; headers: Record<string, string>; body: string };
export type LineAnswer = { status: number; headers: Array<[string, string]>; text: string };
/** First that it was heard, then the answer. */
export type LineReply = { id: number; answer?: LineAnswer };

/** The form stands beside the request: as its body it would be packed up and unpacked again. */
type Asking = (request: Request, form: FormData) => Promise<LineAnswer>;

/** The worker's end: answers every form as if it had come by a request. */
export function answerLine(port: MessagePort, base: string, ask: Asking): void {
  const reply = (message: LineReply) => port.postMessage(message);
  port.onmessage = async ({ data }: MessageEvent<LineForm>) => {
    const { id, url, headers, body } = data;
    reply({ id });
    const form = new FormData();
    for (const [name, value] of new URLSearchParams(body)) form.append(name, value);
    const request = new Request(new URL(url, base), { method: "POST", headers });
    reply({ id, answer: await ask(request, form) });
  };
}
