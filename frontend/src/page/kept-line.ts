/* The line that says what was kept goes away by itself, but not while somebody is about to use it. */

const STAYS_MS = 30_000;

export function startKeptLine(): void {
  const line = document.querySelector<HTMLElement>("#kept");
  if (!line) return;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const clear = () => {
    if (line.matches(":focus-within, :hover")) wait();
    else line.replaceChildren();
  };
  const wait = () => {
    clearTimeout(timer);
    if (line.firstElementChild) timer = setTimeout(clear, STAYS_MS);
  };
  new MutationObserver(wait).observe(line, { childList: true });
  wait();
}
