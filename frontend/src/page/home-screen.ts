/* Putting the bench on the home screen: by a button where the browser offers one, else in words. */

type InstallOffer = Event & { prompt: () => Promise<unknown> };

let offer: InstallOffer | undefined;

/** The browser offers it once, early; it is kept until the person has seen the jobs arrive. */
export function keepInstallOffer(): void {
  window.addEventListener("beforeinstallprompt", (event) => {
    event.preventDefault();
    offer = event as InstallOffer;
  });
}

/** Opened from the home screen already? */
function isInstalled(): boolean {
  return (
    matchMedia("(display-mode: standalone)").matches ||
    (navigator as { standalone?: boolean }).standalone === true
  );
}

/** Safari on a phone has another storage for what is on the home screen than for its tabs. */
export function isAppleTab(): boolean {
  return (navigator as { standalone?: boolean }).standalone === false;
}

export function showHomeScreenHelp(help: HTMLElement | null): void {
  if (!help || isInstalled()) return;
  help.hidden = false;
  const button = help.querySelector("button");
  if (!button || !offer) return;
  button.hidden = false;
  button.onclick = () => {
    button.hidden = true;
    void offer?.prompt();
  };
}
