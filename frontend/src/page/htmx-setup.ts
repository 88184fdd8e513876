/* The one pinned copy of htmx, set up for a strict content policy: it swaps nothing on a failed answer. */
import htmx from "htmx.org";

// Pages are real pages here: the browser's own history is right, and htmx's would ask twice.
htmx.config.history = false;
htmx.config.includeIndicatorCSS = false;
htmx.config.noSwap = [204, 304, 400, 401, 403, 404, 405, 409, 413, "5xx"] as unknown as number[];

export { htmx };
