/* The one place where answers get their headers: pages drawn on the phone have no others. */
import type { Child } from "../html/jsx-runtime";
import { page } from "../views/layout";
import type { BenchContext } from "./deps";

export const SECURITY_HEADERS: Record<string, string> = {
  "Content-Security-Policy": [
    "default-src 'none'",
    "script-src 'self'",
    "style-src 'self'",
    "img-src 'self' blob: data:",
    "connect-src 'self'",
    "font-src 'self'",
    "form-action 'self'",
    "manifest-src 'self'",
    "base-uri 'none'",
    "frame-ancestors 'none'",
  ].join("; "),
  "Cache-Control": "no-store",
  "Referrer-Policy": "same-origin",
  "X-Content-Type-Options": "nosniff",
};

/** Not known here, and not the server's either: 404 would mean "ask the server". */
const NOT_ON_THIS_PHONE = 410;

function headers(type: string, more: Record<string, string> = {}): Headers {
  return new Headers({ ...SECURITY_HEADERS, "Content-Type": type, ...more });
}

const texts = new WeakMap<Response, string>();

/** A stream goes straight from the worker to the page; a text would take the way round by the browser. */
function html(text: string, status: number): Response {
  const source: UnderlyingDefaultSource<Uint8Array> = {
    pull(controller) {
      controller.enqueue(new TextEncoder().encode(text));
      controller.close();
    },
  };
  const body = new ReadableStream(source, { highWaterMark: 0 });
  const response = new Response(body, { status, headers: headers("text/html; charset=utf-8") });
  texts.set(response, text);
  return response;
}

type Written = { status: number; headers: Array<[string, string]>; text: string };

/** An answer as plain values; what was drawn here a moment ago need not be read from its stream. */
export async function writtenOut(response: Response): Promise<Written> {
  const text = texts.get(response) ?? (await response.text());
  return { status: response.status, headers: [...response.headers], text };
}

export async function showPage(content: Child, status = 200): Promise<Response> {
  return html(page(content), status);
}

export function showMissingPage(content: Child): Promise<Response> {
  return showPage(content, NOT_ON_THIS_PHONE);
}

export async function showFragment(content: Child, status = 200): Promise<Response> {
  return html(String(content), status);
}

/** A form that could not be taken comes back with what was typed. */
export function showFormAgain(content: Child): Promise<Response> {
  return showFragment(content, 422);
}

export function sayPlainly(sentence: string, status: number): Response {
  return new Response(sentence, { status, headers: headers("text/plain; charset=utf-8") });
}

export function sendJson(value: unknown, status = 200): Response {
  return new Response(JSON.stringify(value), { status, headers: headers("application/json") });
}

export function sendBytes(bytes: ArrayBuffer, type: string): Response {
  return new Response(bytes, { headers: headers(type) });
}

export function sendFile(text: string, name: string): Response {
  const disposition = { "Content-Disposition": `attachment; filename="${name}"` };
  return new Response(text, { headers: headers("application/json", disposition) });
}

/** After a form: htmx is told where to go, a plain form is redirected. */
export function goTo(c: BenchContext, path: string): Response {
  if (c.req.header("HX-Request")) {
    return new Response(null, {
      status: 204,
      headers: headers("text/html", { "HX-Redirect": path }),
    });
  }
  return new Response(null, { status: 303, headers: headers("text/html", { Location: path }) });
}

/** It is done and there is nothing to draw. */
export function nothingMore(): Response {
  return new Response(null, { status: 204, headers: headers("text/html") });
}

/** The page asks for itself again, where it stood. */
export function reload(): Response {
  return new Response(null, {
    status: 204,
    headers: headers("text/html", { "HX-Refresh": "true" }),
  });
}

/** Only our own pages are a way back. */
export function ownPath(text: string): string {
  return /^\/bench\/[\w\-/.%]*$/.test(text) ? text : "/bench/";
}
