"""From the tap on a step to its painted answer, on the phone's own server."""

import statistics
from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from tests.bench.sync import send_elsewhere
from tests.e2e.browser import Phone, open_bench
from tests.e2e.shop import Shop

TAPS, ELSEWHERE = 40, 3000
SYNC = """
() => {
  const started = performance.now();
  window.synced = 0;
  fetch('/bench/sync', { method: 'POST', headers: { Accept: 'application/json' } })
    .then((answer) => answer.json())
    .then(() => { window.synced = performance.now() - started; });
}
"""
OPEN_JOB = "Job.objects.filter(place='on the stand').order_by('number').first().pk"
SIZE = f"StoredEntry.objects.filter(job_id={OPEN_JOB}).count(), Job.objects.open().count()"
# Painted: two frames after the answered fragment stands in the document.
WATCH = """
() => {
  window.taps = [];
  document.addEventListener('click', (event) => {
    const button = event.target.closest('button.tick');
    if (!button) return;
    const row = button.closest('li').id, started = event.timeStamp;
    const before = button.getAttribute('aria-pressed');
    const look = () => {
      const now = document.querySelector(`#${row} button.tick`);
      if (!now || now.getAttribute('aria-pressed') === before) return requestAnimationFrame(look);
      requestAnimationFrame(() => window.taps.push(performance.now() - started));
    };
    requestAnimationFrame(look);
  }, true);
}
"""


def figures(shop: Shop, folder: Path) -> Iterator[tuple[str, str]]:
    """At the machine's speed and with the page's thread slowed; the worker cannot be slowed."""
    shop.start()
    with sync_playwright() as driver:
        phone = Phone(driver, folder / "phone", shop)
        try:
            page = open_bench(phone.open(), "mira")
            page.goto(f"/bench/jobs/{shop.ask(OPEN_JOB)}")
            yield "entries of the job, jobs on the phone", shop.ask(SIZE)
            yield from _measure(page)
            send_elsewhere(shop, ELSEWHERE)
            yield from _while_syncing(page)
        finally:
            phone.close()
            shop.stop()
    yield "note", "the slow-down holds for the page; Chromium cannot slow a service worker"


def _measure(page: Page) -> Iterator[tuple[str, str]]:
    slow = page.context.new_cdp_session(page)
    page.evaluate(WATCH)
    for rate in (1, 6):
        slow.send("Emulation.setCPUThrottlingRate", {"rate": rate})
        times = sorted(_taps(page))
        low, high = statistics.median(times), times[int(len(times) * 0.95)]
        yield (
            f"processor {rate}x slower, {len(times)} taps",
            f"median {low:.0f} ms, p95 {high:.0f} ms",
        )


def _while_syncing(page: Page) -> Iterator[tuple[str, str]]:
    """Taps while what another phone wrote comes in; a running sync must not hold them up."""
    page.evaluate(SYNC)
    times = sorted(_taps(page, until="() => window.synced > 0"))
    figures = f"median {statistics.median(times):.0f} ms, longest {times[-1]:.0f} ms"
    yield f"while {ELSEWHERE} entries come in, {len(times)} taps", figures
    yield "  that sync took", f"{page.evaluate('() => window.synced') / 1000:.1f} s"


def _taps(page: Page, *, until: str = f"() => window.taps.length >= {TAPS}") -> list[float]:
    page.evaluate("() => { window.taps = [] }")
    button, done = page.locator("button.tick").first, 0
    while not page.evaluate(until):
        button.click()
        done += 1
        while page.evaluate("() => window.taps.length") < done:
            page.wait_for_timeout(20)
    return list(page.evaluate("() => window.taps"))
