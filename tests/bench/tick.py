"""From the tap on a step to its painted answer, on the phone's own server."""

import contextlib
from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from tests.bench import slow, taps
from tests.bench.figures import Figures
from tests.bench.stage import Stage
from tests.bench.sync import send_elsewhere
from tests.e2e.browser import Phone, open_bench

COUNT, ELSEWHERE = 40, 3000
SLOWER = 6
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
# How often a loop in the page goes round in a second, and its longest standstill.
SPEED = """
() => {
  const started = performance.now();
  let now = started, rounds = 0, longest = 0;
  while (now - started < 1000) {
    const next = performance.now();
    longest = Math.max(longest, next - now);
    now = next;
    rounds += 1;
  }
  return [rounds, longest];
}
"""


def figures(stage: Stage) -> Figures:
    """With signal and without, at the machine's speed and slowed in two ways."""
    shop, profile = stage.shop(), stage.profile()
    shop.start()
    with sync_playwright() as driver:
        phone = Phone(driver, profile, shop)
        try:
            page = open_bench(phone.open(), "mira")
            page.goto(f"/bench/jobs/{shop.ask(OPEN_JOB)}")
            yield "entries of the job, jobs on the phone", shop.ask(SIZE)
            rows = taps.watch(page)
            yield from _at_all_speeds(page, profile, rows, "with signal")
            send_elsewhere(shop, ELSEWHERE)
            yield from _while_syncing(page, rows)
            shop.stop()
            yield from _at_all_speeds(page, profile, rows, "no server")
        finally:
            phone.close()
            shop.stop()


def _at_all_speeds(page: Page, profile: Path, rows: list[str], where: str) -> Figures:
    yield f"{where}, as fast as it goes", taps.told(taps.tap(page, rows, COUNT))
    with page_slowed(page):
        times = taps.told(taps.tap(page, rows, COUNT))
        yield f"{where}, page's thread {SLOWER}x slower", times
    full = max(page.evaluate(SPEED)[0] for _ in range(3))
    with slow.each_process(profile, 1 / SLOWER) as how:
        times = taps.told(taps.tap(page, rows, COUNT))
        yield f"{where}, all processes {SLOWER}x slower", times
        rounds, longest = page.evaluate(SPEED)
    yield f"  {how}", f"page {full / rounds:.1f}x slower, stands still {longest:.0f} ms at most"


@contextlib.contextmanager
def page_slowed(page: Page) -> Iterator[None]:
    """By the browser itself, which can slow the page's thread alone."""
    session = page.context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    try:
        yield
    finally:
        session.send("Emulation.setCPUThrottlingRate", {"rate": 1})
        session.detach()


def _while_syncing(page: Page, rows: list[str]) -> Figures:
    """Taps while what another phone wrote comes in; a running sync must not hold them up."""
    page.evaluate(SYNC)
    times: list[taps.Tap] = []
    while not page.evaluate("() => window.synced > 0"):
        times += taps.tap(page, rows, 1)
    yield f"while {ELSEWHERE} entries come in", taps.told(times)
    yield "  that sync took", f"{page.evaluate('() => window.synced') / 1000:.1f} s"
