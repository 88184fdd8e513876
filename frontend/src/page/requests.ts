/* Guards every request of the page: one id per action, one retry with the same id, and words when it failed. */
import { v7 } from "uuid";
import type { LineAnswer } from "../line";
import { say } from "../words/page";
import { applyAnswer, finishAnswer } from "./answers";
import { htmx } from "./htmx-setup";
import { line } from "./line";
import { pageId } from "./page-id";
import { clearTrouble, showTrouble } from "./trouble";

type RequestContext = {
  sourceElement: Element;
  sourceEvent?: Event;
  target?: Element | string;
  swap?: string;
  select?: string;
  request: { method: string; action: string; headers: Record<string, string>; body?: unknown };
  fetch?: typeof fetch;
  response?: { status: number; headers: Headers };
  text?: string;
};

type Fetching = Parameters<typeof fetch>;

const RETRY_AFTER_MS = [150, 600];

/** A worker that is being restarted drops the first call; the same id makes a repeat harmless. */
async function fetchWithRetry(...[url, init]: Fetching): Promise<Response> {
  for (const wait of RETRY_AFTER_MS) {
    try {
      return await fetch(url, init);
    } catch (error) {
      if (init?.signal?.aborted) throw error;
      await new Promise((resolve) => setTimeout(resolve, wait));
    }
  }
  return fetch(url, init);
}

function contextOf(event: Event): RequestContext | undefined {
  return (event as CustomEvent<{ ctx?: RequestContext }>).detail.ctx;
}

function onConfigure(event: Event): void {
  const context = contextOf(event);
  if (!context) return;
  context.request.headers["X-Page"] = pageId;
  if (context.request.method !== "GET") context.request.headers["X-Entry-Id"] = v7();
}

async function askByLine({ request }: RequestContext): Promise<LineAnswer | undefined> {
  const { method, action: url, headers, body } = request;
  if (method !== "POST" || !(body instanceof URLSearchParams)) return undefined;
  return line.ask({ url, headers, body: body.toString() });
}

async function askByRequest(...asked: Fetching): Promise<LineAnswer> {
  const response = await fetchWithRetry(...asked);
  const { status, headers } = response;
  return { status, headers: [...headers], text: await response.text() };
}

const DONE = 204;
const WITHOUT_BODY = new Set([DONE, 304]);

/** The answer, unless it is on the page already: then nothing is left for htmx to swap. */
async function fetchAndApply(context: RequestContext, ...asked: Fetching): Promise<Response> {
  const { status, headers, text } = (await askByLine(context)) ?? (await askByRequest(...asked));
  finishAnswer();
  const isOnPage = status === 200 && (await isApplied(context, new Headers(headers), text));
  if (isOnPage) return new Response(null, { status: DONE, headers });
  return new Response(WITHOUT_BODY.has(status) ? null : text, { status, headers });
}

async function isApplied(
  context: RequestContext,
  headers: Headers,
  text: string,
): Promise<boolean> {
  const { target, swap = "", select } = context;
  if (select || !(target instanceof Element)) return false;
  if (swap !== "outerMorph" || headers.has("HX-Retarget")) return false;
  return applyAnswer(text, { target, swap }, (element) => htmx.process(element, true));
}

function onBeforeRequest(event: Event): void {
  const context = contextOf(event);
  if (context) context.fetch = (...asked) => fetchAndApply(context, ...asked);
}

function isQuiet(context: RequestContext | undefined): boolean {
  return context?.sourceElement.closest("[data-quiet]") != null;
}

/** Asked for because of what was announced, not by a person. */
function isReading(context: RequestContext | undefined): boolean {
  return context?.sourceEvent?.type.startsWith("bench:") ?? false;
}

/** Whether what is said to be wrong came of a reading alone; the next reading takes that away, and nothing else. */
let isOfReading = false;

/** The worker's own sentence where it has one. */
function sentenceFor(context: RequestContext | undefined): string {
  const plain = context?.response?.headers.get("Content-Type")?.startsWith("text/plain");
  if (plain && context?.text) return context.text;
  return say(context?.request.method === "GET" ? "request.no-answer" : "request.not-kept");
}

/** What is on the screen may be older than what is kept: ask the worker again. */
function readAgain(): void {
  document.body.dispatchEvent(new CustomEvent("bench:changed"));
}

/** 422 carries the form back with its own sentence; it is swapped like any answer. */
function isRefused(context: RequestContext | undefined): boolean {
  const status = context?.response?.status ?? 0;
  return status >= 400 && status !== 422;
}

function onFailure(event: Event): void {
  const context = contextOf(event);
  if (isQuiet(context)) return;
  showTrouble(sentenceFor(context));
  isOfReading = isReading(context);
  if (!isOfReading) readAgain();
}

/** htmx tells of a swap after a refused answer too. */
function onSwap(event: Event): void {
  const context = contextOf(event);
  if (isRefused(context) || isQuiet(context) || (isReading(context) && !isOfReading)) return;
  clearTrouble();
}

function onResponseError(event: Event): void {
  if (isRefused(contextOf(event))) onFailure(event);
}

export function guardRequests(): void {
  const on = (name: string, handler: (event: Event) => void) =>
    document.addEventListener(name, handler);
  on("htmx:config:request", onConfigure);
  on("htmx:before:request", onBeforeRequest);
  on("htmx:error", onFailure);
  on("htmx:response:error", onResponseError);
  on("htmx:after:swap", onSwap);
}
