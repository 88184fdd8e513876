/* One phone: a disk that stays, a worker that comes and goes, and a person who taps on it. */
import { Background, keep } from "./background";
import { Channels, cachesOf } from "./channel";
import { Disk, type Handles } from "./disk";
import { namesFor, ORIGIN } from "./globals";
import { Locks } from "./locks";
import type { Line, Network } from "./network";
import type { Program } from "./program";
import type { Random } from "./random";
import { setTasks } from "./tasks";
import type { Owner, World } from "./world";

export type Answer = { status: number; headers: Headers; text: string };
export type Asking = { headers?: Record<string, string>; body?: BodyInit };

/** The worker was killed before it answered. */
export class WorkerGone extends Error {}

type Handler = (event: unknown) => void;
/** One run of the worker, from its start to its end. */
export type Run = Owner & {
  handles: Handles;
  listeners: Map<string, Handler[]>;
  asked: Set<(error: Error) => void>;
};

export type PhoneParts = {
  name: string;
  shop: number;
  /** The ids of the workshops. */
  shops: string[];
  world: World;
  random: Random;
  network: Network;
  program: Program;
  trouble: (what: string) => void;
};

export class Phone {
  readonly name: string;
  /** Which of the two workshops somebody wants it in. */
  wanted: number;
  readonly disk: Disk;
  readonly random: Random;
  readonly line: Line;
  run: Run | undefined;
  /** All that run at this moment: an update has two beside each other. */
  readonly #runs = new Set<Run>();
  /** The open browser, with its pages. */
  page: Owner | undefined;
  /** How far the phone's clock is from the true time. */
  clockOffset = 0;
  username = "";
  /** Taken away, with all that is on it. */
  gone = false;
  readonly #parts: PhoneParts;
  readonly #locks: Locks;
  readonly #channels: Channels;
  readonly background: Background;

  constructor(parts: PhoneParts) {
    this.#parts = parts;
    this.name = parts.name;
    this.wanted = parts.shop;
    this.random = parts.random;
    this.disk = new Disk(parts.world, parts.random.fork("disk"));
    this.line = parts.network.newLine(parts.name);
    const later = (owner: Owner, run: () => void) => this.after(0, owner, run);
    this.#locks = new Locks(later);
    this.#channels = new Channels(later);
    this.background = new Background(this);
  }

  /** An event of this phone: its database works while it runs. */
  after(ms: number, owner: Owner, run: () => void): { cancelled: boolean } {
    const timer = { cancelled: false };
    this.#parts.world.after(ms, owner, () => {
      if (timer.cancelled) return;
      setTasks(this.disk.queue);
      run();
    });
    return timer;
  }

  sleep(ms: number, owner: Owner): Promise<void> {
    return new Promise((resolve) => this.after(ms, owner, resolve));
  }

  /** Which of the two workshops it belongs to: the one it says, once it has been made known. */
  get shop(): number {
    const at = this.#parts.shops.indexOf(this.disk.row<string>("meta", "workshop_id") ?? "");
    return at < 0 ? this.wanted : at;
  }

  now(): number {
    return this.#parts.world.now + this.clockOffset;
  }

  note(text: string): void {
    this.#parts.world.note(`${this.name} ${text}`);
  }

  /** Starts a worker beside what may be running already, as an update does. */
  start(): Run {
    const run: Run = {
      alive: true,
      handles: { requests: [], connections: new Set() },
      listeners: new Map(),
      asked: new Set(),
    };
    const { network, trouble } = this.#parts;
    this.#runs.add(run);
    setTasks(this.disk.queue);
    this.#parts.program(
      namesFor({
        now: () => this.now(),
        random: this.random.fork(`run ${network.nextNumber()}`),
        indexedDB: this.disk.face(run.handles),
        locks: this.#locks.face(run),
        caches: cachesOf(),
        after: (ms, work) => this.after(ms, run, work),
        fetch: (url, init) => network.fetchFrom(this, run, url, init),
        listen: (type, handle) => {
          run.listeners.set(type, [...(run.listeners.get(type) ?? []), handle]);
        },
        channel: this.#channels.face(run),
        background: () => this.background.ask(),
        trouble: (error) => trouble(`${this.name}: ${explain(error)}`),
        isOnline: () => this.line.online,
        persisted: this.name.length % 2 === 0,
      }),
    );
    return run;
  }

  worker(): Run {
    this.run ??= this.start();
    return this.run;
  }

  end(run: Run): void {
    run.alive = false;
    this.#runs.delete(run);
    if (this.run === run) this.run = undefined;
    this.disk.drop(run.handles);
    this.#locks.drop(run);
    const page = this.page;
    for (const fail of run.asked) {
      if (page) this.after(0, page, () => fail(new WorkerGone("the worker is gone")));
    }
  }

  /** The browser stops the worker, as it does whenever it likes; open pages stay. */
  stopWorker(): void {
    if (this.run) this.end(this.run);
  }

  /** The browser itself ends, pages and all. */
  closeBrowser(): void {
    if (this.page) this.page.alive = false;
    this.page = undefined;
    for (const run of [...this.#runs]) this.end(run);
  }

  powerCut(): void {
    this.closeBrowser();
    this.disk.loseUnforced();
  }

  evict(): void {
    this.closeBrowser();
    this.disk.evict();
  }

  /** The page is loaded anew: whatever the old one waited for it will not hear. */
  reload(): Owner {
    if (this.page) this.page.alive = false;
    this.page = undefined;
    return this.openBrowser();
  }

  openBrowser(): Owner {
    this.page ??= { alive: true };
    return this.page;
  }

  /** A request of a page to the worker; made again when the worker was killed meanwhile, as the page does. */
  async tell(method: string, path: string, asking: Asking = {}): Promise<Answer> {
    const page = this.openBrowser();
    for (const wait of [150, 600]) {
      try {
        return await this.#once(page, this.worker(), method, path, asking);
      } catch (error) {
        if (!(error instanceof WorkerGone)) throw error;
        await this.sleep(wait, page);
      }
    }
    return this.#once(page, this.worker(), method, path, asking);
  }

  /** The same, to a certain run of the worker. */
  once(run: Run, method: string, path: string, asking: Asking = {}): Promise<Answer> {
    return this.#once(this.openBrowser(), run, method, path, asking);
  }

  #once(page: Owner, run: Run, method: string, path: string, asking: Asking): Promise<Answer> {
    return new Promise((resolve, reject) => {
      if (!run.alive) {
        this.after(1, page, () => reject(new WorkerGone("the worker is gone")));
        return;
      }
      run.asked.add(reject);
      this.after(this.random.between(0, 2), run, () => {
        answerOf(run, new Request(new URL(path, ORIGIN), { method, ...asking })).then(
          (answer) => {
            run.asked.delete(reject);
            if (page.alive) resolve(answer);
          },
          (error: unknown) => {
            run.asked.delete(reject);
            reject(error);
          },
        );
      });
    });
  }
}

async function answerOf(run: Run, request: Request): Promise<Answer> {
  let answered: Promise<Response> | undefined;
  const event = {
    request,
    respondWith: (response: Promise<Response>) => {
      answered = Promise.resolve(response);
    },
    waitUntil: keep,
  };
  for (const handle of run.listeners.get("fetch") ?? []) handle(event);
  if (!answered) throw new Error(`the worker did not answer ${request.url}`);
  const response = await answered;
  return { status: response.status, headers: response.headers, text: await response.text() };
}

function explain(error: unknown): string {
  return error instanceof Error ? (error.stack ?? error.message) : String(error);
}
