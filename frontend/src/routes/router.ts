/* Which handler answers which address. Knows no worker: a test asks it just as the worker does. */
import type { BenchContext, BenchEnv, Deps } from "./deps";

export type Handler = (c: BenchContext) => Response | Promise<Response>;
/** What holds for every address. */
type Rules = {
  /** May answer before any route does. */
  guard: (path: string) => Promise<Response | undefined>;
  /** Answers what no route does. */
  missing: Handler;
  failed: (error: Error, c: BenchContext) => Response | Promise<Response>;
};
type Route = { method: string; path: string; pattern: RegExp; handler: Handler };

export class Router {
  readonly routes: Route[] = [];
  #deps: Deps;
  #rules: Rules;

  constructor(deps: Deps, rules: Rules) {
    this.#deps = deps;
    this.#rules = rules;
  }

  get(path: string, handler: Handler): void {
    this.#add("GET", path, handler);
  }

  post(path: string, handler: Handler): void {
    this.#add("POST", path, handler);
  }

  /** A part of the path that starts with a colon is handed over by its name. */
  #add(method: string, path: string, handler: Handler): void {
    const pattern = new RegExp(`^${path.replace(/:(\w+)/g, "(?<$1>[^/]+)")}$`);
    this.routes.push({ method, path, pattern, handler });
  }

  async fetch(request: Request, env: BenchEnv = {}): Promise<Response> {
    const { pathname, searchParams } = new URL(request.url);
    const found = this.#find(request.method, pathname);
    const c: BenchContext = {
      var: { deps: this.#deps },
      env,
      req: {
        raw: request,
        method: request.method,
        path: pathname,
        param: (name) => found.parts[name],
        query: (name) => searchParams.get(name) ?? undefined,
        header: (name) => request.headers.get(name) ?? undefined,
      },
    };
    try {
      return (await this.#rules.guard(pathname)) ?? (await found.handler(c));
    } catch (error) {
      return this.#rules.failed(error as Error, c);
    }
  }

  /** The same for a path: how tests ask. */
  request(path: string, init?: RequestInit): Promise<Response> {
    return this.fetch(new Request(new URL(path, "http://phone.example.org"), init));
  }

  #find(method: string, path: string): { handler: Handler; parts: Record<string, string> } {
    for (const route of this.routes) {
      const match = route.method === method ? route.pattern.exec(path) : null;
      if (match) return { handler: route.handler, parts: decoded(match.groups ?? {}) };
    }
    return { handler: this.#rules.missing, parts: {} };
  }
}

function decoded(groups: Record<string, string>): Record<string, string> {
  return Object.fromEntries(
    Object.entries(groups).map(([name, text]) => [name, decodedText(text)]),
  );
}

/** What is no proper encoding is taken as it stands: it will name nothing. */
function decodedText(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}
