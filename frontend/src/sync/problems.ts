/* A name for each way in which the server cannot be spoken with, and what the person is told of it. */
import { Gap } from "../store/apply";
import { StorageRefused } from "../store/database";
import type { SyncProblem } from "../store/schema";
import { say } from "../words/bench";

/** No answer came, or half of one: no signal, a timeout, or a server that is down. */
export class NoAnswer extends Error {}
/** The token is unknown: keep everything and ask to sign in. */
export class SignInAgain extends Error {}
/** The workshop signed this phone out: it keeps what only it has, and nothing else. */
export class Revoked extends Error {
  /** The server's, so that a restore since is noticed; an older server does not say it. */
  readonly epoch: string | undefined;
  constructor(message: string, epoch?: string) {
    super(message);
    this.epoch = epoch;
  }
}
/** The server could not take this request, for the reason it gives. */
export class ServerTrouble extends Error {
  readonly status: number;
  constructor(status: number, message: string) {
    super(message);
    this.status = status;
  }
}

export type Described = { problem: SyncProblem; message: string };

/** Also what nobody foresaw is a problem with a line of its own, and is tried again later. */
export function describe(error: unknown): Described {
  if (error instanceof NoAnswer) return { problem: "offline", message: say("sync.no-answer") };
  if (error instanceof SignInAgain) return { problem: "sign-in", message: error.message };
  if (error instanceof Revoked) return { problem: "revoked", message: error.message };
  if (error instanceof Gap) return { problem: "gap", message: error.message };
  if (error instanceof ServerTrouble) return { problem: "server", message: error.message };
  if (error instanceof StorageRefused) return { problem: "phone", message: error.message };
  return { problem: "phone", message: say("sync.unforeseen", { what: String(error) }) };
}
