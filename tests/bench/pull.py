"""A new phone fetches all that the shop has written: over the wire into Chromium's database."""

import time

from playwright.sync_api import sync_playwright

from tests.bench.figures import Figures
from tests.bench.stage import Stage
from tests.e2e.browser import Phone, sign_in
from tests.e2e.shop import Shop

JOBS, EACH, ROUNDS = 100, 100, 3
FILL = f"""
from tests.bench.filling import add_jobs
add_jobs({JOBS}, each={EACH})
"""
# The first sync of all is asked for by the page that makes the phone known, which then leaves.
WATCH = """
(() => {
  const ask = window.fetch;
  window.fetch = async (...asked) => {
    const started = performance.now();
    const answer = await ask(...asked);
    const took = performance.now() - started;
    if (String(asked[0]).endsWith('/bench/sync')) sessionStorage.first ??= took;
    return answer;
  };
})();
"""
HELD = """
async () => {
  const open = indexedDB.open('shopfloor-bench');
  await new Promise((done) => { open.onsuccess = done; });
  const asked = open.result.transaction('entries').objectStore('entries').count();
  await new Promise((done) => { asked.onsuccess = done; });
  open.result.close();
  return asked.result;
}
"""


def figures(stage: Stage) -> Figures:
    """Each time another phone; what is fetched is folded too."""
    shop = stage.shop()
    shop.run(FILL)
    shop.start()
    try:
        for _ in range(ROUNDS):
            held, first, whole = _make_known(shop, stage)
            words = f"{first:.2f} s; from the address to the list {whole:.2f} s"
            yield f"first sync, {held:,} entries", words
    finally:
        shop.stop()


def _make_known(shop: Shop, stage: Stage) -> tuple[int, float, float]:
    """Entries on the phone, seconds of its first sync, seconds until its list of jobs stands."""
    with sync_playwright() as driver:
        phone = Phone(driver, stage.profile(), shop)
        try:
            page = phone.open()
            page.add_init_script(WATCH)
            sign_in(page, "mira")
            started = time.monotonic()
            page.goto("/bench/")
            page.locator("a[href^='/bench/jobs/']").first.wait_for(timeout=60_000)
            whole = time.monotonic() - started
            first = float(page.evaluate("() => sessionStorage.first")) / 1000
            return int(page.evaluate(HELD)), first, whole
        finally:
            phone.close()
