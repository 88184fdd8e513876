/* What the install page shows: one line that says how it stands, and what the person is asked for. */

export class InstallView {
  readonly #place: HTMLElement;

  constructor(place: HTMLElement) {
    this.#place = place;
  }

  /** Who is signed in on this phone; nothing where nobody is. */
  get person(): string {
    return this.#place.dataset.person ?? "";
  }

  get csrf(): string {
    return this.#place.dataset.csrf ?? "";
  }

  get homeScreen(): HTMLElement | null {
    return this.#find("[data-home-screen]");
  }

  tell(sentence: (string | Node)[], problem = false): void {
    const line = this.#find("[data-install-line]") ?? this.#place;
    line.replaceChildren(...sentence);
    line.setAttribute("role", problem ? "alert" : "status");
    line.classList.toggle("notice", problem);
  }

  warn(sentence: string): void {
    this.#say("[data-install-warning]", sentence);
  }

  note(sentence: string): void {
    this.#say("[data-install-note]", sentence);
  }

  onCode(use: (typed: string) => void): void {
    const form = this.#find<HTMLFormElement>("[data-enrol-form]");
    form?.addEventListener("submit", (event) => {
      event.preventDefault();
      const typed = form.querySelector("input")?.value.trim() ?? "";
      if (typed) use(typed);
    });
  }

  onOwn(use: () => void): void {
    this.#find("[data-enrol-own]")?.addEventListener("click", use);
  }

  askForCode(): void {
    this.#show("[data-enrol-ask]", true);
    this.#find("[data-enrol-form] input")?.focus();
  }

  askForNothing(): void {
    this.#show("[data-enrol-ask]", false);
    this.#show("[data-install-warning]", false);
  }

  showDone(address: string): void {
    this.#show("[data-install-about]", false);
    this.#show("[data-enrol-done]", true);
    const link = this.#find<HTMLAnchorElement>("[data-enrol-done] a");
    if (link) link.href = address;
  }

  /** Resolves when the person wants the bench in this tab all the same. */
  choseThisTab(code: string): Promise<void> {
    this.#say("[data-apple-code]", code);
    this.#show("[data-apple]", true);
    this.#show("[data-install-about]", false);
    this.tell([]);
    return new Promise((resolve) => {
      this.#find("[data-apple-here]")?.addEventListener("click", () => {
        this.#show("[data-apple]", false);
        resolve();
      });
      this.#find("[data-apple-copy]")?.addEventListener("click", (event) => {
        (event.target as HTMLElement).setAttribute("aria-pressed", "true");
        void navigator.clipboard?.writeText(code);
      });
    });
  }

  linkToJobs = (words: string): HTMLElement => linkTo("/bench/", words);
  /** Where what waits on this phone can be seen and saved, also while nobody is signed in. */
  linkToKept = (words: string): HTMLElement => linkTo("/bench/kept", words);

  #find<E extends HTMLElement = HTMLElement>(selector: string): E | null {
    return this.#place.querySelector<E>(selector);
  }

  #say(selector: string, sentence: string): void {
    const place = this.#find(selector);
    if (!place) return;
    place.textContent = sentence;
    place.hidden = false;
  }

  #show(selector: string, shown: boolean): void {
    const part = this.#find(selector);
    if (part) part.hidden = !shown;
  }
}

function linkTo(address: string, words: string): HTMLElement {
  const link = document.createElement("a");
  link.href = address;
  link.textContent = words;
  return link;
}
