/* The page's end of the direct line to the worker; see ../line.ts. Knows no browser but what it is given. */
import type { LineAnswer, LineForm, LineReply } from "../line";

/** A worker that is at work hears at once; one that was stopped never does. */
const HEARD_MS = 250;
/** Longer than the phone's storage may take. */
const ANSWERED_MS = 10_000;

type Post = (message: unknown) => void;
type Ends = {
  /** A new line, if there is a worker; what it says goes to `hear`. */
  connect: (hear: (reply: LineReply) => void) => Post | undefined;
  later: (work: () => void, ms: number) => () => void;
};

export class Line {
  #ends: Ends;
  #post: Post | undefined;
  #last = 0;
  #waiting = new Map<number, (reply: LineReply) => void>();

  constructor(ends: Ends) {
    this.#ends = ends;
  }

  /** To be called when the worker may be another one than before, or was stopped meanwhile. */
  open(): void {
    this.#post = this.#ends.connect((reply) => this.#waiting.get(reply.id)?.(reply));
  }

  /** Nothing when no answer came: then whoever asks has to ask in another way. */
  ask(form: Omit<LineForm, "id">): Promise<LineAnswer | undefined> {
    const post = this.#post;
    if (!post) return Promise.resolve(undefined);
    this.#last += 1;
    const id = this.#last;
    return new Promise((resolve) => {
      const done = (answer?: LineAnswer) => {
        stop();
        this.#waiting.delete(id);
        if (!answer) this.open();
        resolve(answer);
      };
      let stop = this.#ends.later(done, HEARD_MS);
      this.#waiting.set(id, ({ answer }) => {
        stop();
        if (answer) done(answer);
        else stop = this.#ends.later(done, ANSWERED_MS);
      });
      post({ ...form, id });
    });
  }
}

let port: MessagePort | undefined;

export const line = new Line({
  connect: (hear) => {
    port?.close();
    const worker = navigator.serviceWorker?.controller;
    if (!worker) return undefined;
    const { port1, port2 } = new MessageChannel();
    port = port1;
    port1.onmessage = ({ data }: MessageEvent<LineReply>) => hear(data);
    worker.postMessage({ kind: "line" }, [port2]);
    return (message) => port1.postMessage(message);
  },
  later: (work, ms) => {
    const timer = setTimeout(work, ms);
    return () => clearTimeout(timer);
  },
});

export function openLine(): void {
  line.open();
  navigator.serviceWorker?.addEventListener("controllerchange", () => line.open());
  // In the background a worker is soon stopped; this also starts it again before the first tap.
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") line.open();
  });
}
