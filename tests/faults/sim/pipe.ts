/* The way to the real server: a question out, its answer in, and nothing else runs meanwhile. */
import { type ChildProcess, execFileSync, spawn } from "node:child_process";
import { closeSync, mkdtempSync, openSync, readSync, rmSync, writeSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

export type Patch = { file: string; find: string; put: string };
export type Json = Record<string, unknown>;

/** The interpreter, a database without rows, where the project is, and what is broken in it. */
export type Behind = { python: string; empty: string; root: string; broken: readonly Patch[] };

export class Pipe {
  readonly #child: ChildProcess;
  readonly #folder: string;
  readonly #out: number;
  readonly #in: number;
  /** The server's process has ended; nothing more can be asked. */
  broken = false;

  constructor({ python, empty, root, broken }: Behind) {
    this.#folder = mkdtempSync(join(tmpdir(), "shopfloor-faults-"));
    const [questions, answers] = [join(this.#folder, "questions"), join(this.#folder, "answers")];
    execFileSync("mkfifo", [questions, answers]);
    this.#child = spawn(
      python,
      ["-m", "tests.faults.server", questions, answers, empty, JSON.stringify(broken)],
      {
        cwd: root,
        stdio: ["ignore", "inherit", "inherit"],
        env: { ...process.env, PYTHONHASHSEED: "0", SHOPFLOOR_LOG_LEVEL: "CRITICAL" },
      },
    );
    // Both wait until the other side has opened its end.
    this.#out = openSync(questions, "w");
    this.#in = openSync(answers, "r");
  }

  ask(question: Json): Json {
    try {
      return this.#ask(question);
    } catch (error) {
      this.broken = true;
      throw error;
    }
  }

  #ask(question: Json): Json {
    const said = Buffer.from(JSON.stringify(question));
    const head = Buffer.alloc(4);
    head.writeUInt32BE(said.length);
    writeAll(this.#out, Buffer.concat([head, said]));
    return JSON.parse(this.#read(this.#read(4).readUInt32BE()).toString()) as Json;
  }

  #read(length: number): Buffer {
    const got = Buffer.alloc(length);
    let at = 0;
    while (at < length) {
      const read = readSync(this.#in, got, at, length - at, null);
      if (read === 0) throw new Error("the server's process ended");
      at += read;
    }
    return got;
  }

  close(): void {
    closeSync(this.#out);
    closeSync(this.#in);
    rmSync(this.#folder, { recursive: true, force: true });
    this.#child.unref();
  }
}

function writeAll(pipe: number, bytes: Buffer): void {
  let at = 0;
  while (at < bytes.length) at += writeSync(pipe, bytes, at);
}
