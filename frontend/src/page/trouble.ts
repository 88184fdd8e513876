/* The one place where the page itself says that something did not work. */

function place(): HTMLElement | null {
  return document.querySelector<HTMLElement>("#trouble");
}

export function showTrouble(sentence: string): void {
  const element = place();
  if (!element) return;
  element.textContent = sentence;
  element.hidden = false;
}

export function clearTrouble(): void {
  const element = place();
  if (!element || element.hidden) return;
  element.hidden = true;
  element.textContent = "";
}
