/* The script of the desk and the wall: htmx, copying and printing, and words when a request failed. */
import htmx from "htmx.org";
import { catalogue, say } from "../words/desk";
import { type Languages, learnLanguage } from "../words/languages";

declare const BENCH_WORDS: Languages;

void learnLanguage(catalogue, "desk", [document.documentElement.lang], BENCH_WORDS, fetch);

htmx.config.includeIndicatorCSS = false;
htmx.config.noSwap = [204, 304, "5xx"] as unknown as number[];

function showTrouble(sentence: string): void {
  const place = document.querySelector<HTMLElement>("#trouble");
  if (!place) return;
  place.textContent = sentence;
  place.hidden = sentence === "";
}

/** Shown only where the browser can copy; the text itself stays selectable for the others. */
function showCopyButtons(root: ParentNode): void {
  if (!navigator.clipboard) return;
  for (const button of root.querySelectorAll<HTMLElement>("[data-copy]")) button.hidden = false;
}

async function copy(button: HTMLElement): Promise<void> {
  const text = document.querySelector(button.dataset.copy ?? "")?.textContent ?? "";
  try {
    await navigator.clipboard.writeText(text.trim());
    button.textContent = say("copy.done");
  } catch {
    showTrouble(say("copy.refused"));
  }
}

document.addEventListener("click", (event) => {
  const target = event.target as Element;
  const button = target.closest<HTMLElement>("[data-copy]");
  if (button) void copy(button);
  if (target.closest("[data-print]")) window.print();
});

document.addEventListener("htmx:error", () => showTrouble(say("request.no-answer")));
document.addEventListener("htmx:response:error", () => showTrouble(say("request.failed")));

type Answered = CustomEvent<{ ctx: { response: { status: number } } }>;

/* Not after the swap: an unchanged board answers 304 and swaps nothing. */
document.addEventListener("htmx:after:request", (event) => {
  if ((event as Answered).detail.ctx.response.status < 400) showTrouble("");
});
document.addEventListener("htmx:after:swap", () => showCopyButtons(document));
showCopyButtons(document);
