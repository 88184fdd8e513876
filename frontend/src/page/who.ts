/* The list of names at the top closes like any list: by Escape, by a tap elsewhere, and when focus has left it. */

export function startWho(): void {
  const list = () => document.querySelector<HTMLDetailsElement>("#who");
  document.addEventListener("keydown", (event) => {
    const open = list();
    if (event.key !== "Escape" || !open?.open) return;
    open.open = false;
    open.querySelector("summary")?.focus();
  });
  for (const name of ["click", "focusin"]) {
    document.addEventListener(name, (event) => {
      const open = list();
      if (open?.open && !open.contains(event.target as Node)) open.open = false;
    });
  }
}
