"""When a page of the bench listens to the finger: drawn, and its script has set up its parts."""

import statistics
import time
from collections.abc import Sequence

from playwright.sync_api import Page

# htmx marks what it has set up, all in one go; ready is when the frame after that was handed on.
WATCH = """
(() => {
  const tell = () => {
    const [way] = performance.getEntriesByType('navigation');
    const [paint] = performance.getEntriesByName('first-contentful-paint');
    window.ready = [way.workerStart, way.responseStart, way.domInteractive, paint?.startTime ?? 0,
      performance.now()];
  };
  const look = new MutationObserver(() => {
    if (!document.querySelector('main[data-htmx-powered]')) return;
    look.disconnect();
    requestAnimationFrame(() => {
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = tell;
      port2.postMessage(null);
    });
  });
  look.observe(document, { subtree: true, attributeFilter: ['data-htmx-powered'] });
})();
"""
PARTS = ("worker there", "answer begins", "page read", "first paint")
LONGEST, LOOK_S = 30, 0.5


def watch(page: Page) -> None:
    """From the next address on."""
    page.add_init_script(WATCH)


def view(page: Page, address: str) -> list[float]:
    """Milliseconds from the address to each of the PARTS, and to the page that is ready."""
    page.goto(address, wait_until="commit", timeout=LONGEST * 1000)
    until = time.monotonic() + LONGEST
    while time.monotonic() < until:
        # Not asked again and again: a slow page would answer instead of becoming ready.
        time.sleep(LOOK_S)
        found: list[float] | None = page.evaluate("() => window.ready")
        if found:
            return found
    raise TimeoutError(f"{address} was not ready")


def parts(views: Sequence[Sequence[float]]) -> str:
    """The median of each part."""
    medians = [statistics.median(times) for times in zip(*views, strict=True)]
    return ", ".join(f"{name} {time:.0f}" for name, time in zip(PARTS, medians, strict=False))
