/* Whether the browser promised not to clear what the phone keeps; it is asked once there is something to lose. */

type StorageState = "protected" | "not protected" | "";

export async function findStorage(): Promise<StorageState> {
  const isProtected = await navigator.storage?.persisted?.().catch(() => undefined);
  if (isProtected === undefined) return "";
  return isProtected ? "protected" : "not protected";
}

/** Some browsers ask the person: then it must be plain what for, which it is after the first entry. */
export function protectAfterWriting(): void {
  const afterSwap = (event: Event) => {
    const { ctx } = (event as CustomEvent<{ ctx?: { request?: { method?: string } } }>).detail;
    if (ctx?.request?.method !== "POST") return;
    document.removeEventListener("htmx:after:swap", afterSwap);
    void findStorage().then((state) => {
      if (state === "not protected") void navigator.storage.persist().catch(() => false);
    });
  };
  document.addEventListener("htmx:after:swap", afterSwap);
}
