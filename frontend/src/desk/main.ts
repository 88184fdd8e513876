/* The script of the desk and the wall: htmx, and words when a request failed. */
import htmx from "htmx.org";

htmx.config.includeIndicatorCSS = false;
htmx.config.noSwap = [204, 304, "5xx"] as unknown as number[];

function csrfToken(): string {
  return document.querySelector<HTMLMetaElement>('meta[name="csrf-token"]')?.content ?? "";
}

type Configured = CustomEvent<{
  ctx: { request: { method: string; headers: Record<string, string> } };
}>;

document.addEventListener("htmx:config:request", (event) => {
  const { request } = (event as Configured).detail.ctx;
  const token = csrfToken();
  if (token && request.method !== "GET") request.headers["X-CSRFToken"] = token;
});

function showTrouble(sentence: string): void {
  const place = document.querySelector<HTMLElement>("#trouble");
  if (!place) return;
  place.textContent = sentence;
  place.hidden = sentence === "";
}

document.addEventListener("htmx:error", () =>
  showTrouble("The server did not answer. What you typed is still here: try again."),
);
document.addEventListener("htmx:response:error", () =>
  showTrouble("The server could not do that. What you typed is still here: try again in a minute."),
);
type Answered = CustomEvent<{ ctx: { response: { status: number } } }>;

/* Not after the swap: an unchanged board answers 304 and swaps nothing. */
document.addEventListener("htmx:after:request", (event) => {
  if ((event as Answered).detail.ctx.response.status < 400) showTrouble("");
});
document.addEventListener("click", (event) => {
  if ((event.target as Element).closest("[data-print]")) window.print();
});

/* Only a secure page may write to the clipboard; elsewhere the button stays hidden. */
for (const button of document.querySelectorAll<HTMLButtonElement>("[data-copy]")) {
  button.hidden = !navigator.clipboard;
  button.addEventListener("click", async () => {
    const text = document.querySelector(button.dataset.copy ?? "")?.textContent ?? "";
    await navigator.clipboard.writeText(text.trim());
    button.textContent = "Copied";
  });
}
