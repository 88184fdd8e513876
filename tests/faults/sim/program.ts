/* The phone's code, compiled once and evaluated as often as a worker starts. */
import { compileFunction } from "node:vm";
import { DATABASE_CLASSES, type Names, namesFor } from "./globals";

export type Program = (names: Names) => void;

const NAMES = Object.keys(namesFor({ channel: Object, random: {}, now: Date.now } as never));

/** The worker's code, compiled once and evaluated afresh for each start. */
export function programOf(code: string, file: string): Program {
  const compiled = compileFunction(code, NAMES, { filename: file });
  return (names) => compiled(...NAMES.map((name) => names[name]));
}

/** Code beside the worker's that reads the same disk: only its functions are used. */
export function libraryOf<T>(code: string, file: string): T {
  const names: Names = { ...DATABASE_CLASSES };
  const compiled = compileFunction(`${code}\nreturn library;`, NAMES, { filename: file });
  return compiled(...NAMES.map((name) => names[name] ?? (globalThis as Names)[name])) as T;
}
