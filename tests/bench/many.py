"""Years of work on one phone: do the list and a job still come as soon as in the first weeks?"""

import json
import statistics

from playwright.sync_api import Page, sync_playwright

from tests.bench import ready, taps
from tests.bench.figures import Figures
from tests.bench.pull import HELD
from tests.bench.slowlink import SEND
from tests.bench.stage import Stage
from tests.e2e.browser import Phone, open_bench
from tests.e2e.shop import Shop

# Bikes in the house, then those that have left it; each with as many entries.
HERE, LEFT, EACH = 8, 990, 100
VIEWS, TAPS = 15, 30
FILL = """
from tests.bench.filling import add_jobs
print(json.dumps(add_jobs({count}, each={each}, over={over})))
"""


def figures(stage: Stage) -> Figures:
    """Without signal, as fast as it goes."""
    shop = stage.shop()
    job = _fill(shop, HERE, over=False)
    shop.start()
    with sync_playwright() as driver:
        phone = Phone(driver, stage.profile(), shop)
        try:
            page = open_bench(phone.open(), "mira")
            ready.watch(page)
            few = _measure(page, shop, job)
            yield from _told(few)
            shop.start()
            _fill(shop, LEFT, over=True)
            page.evaluate(SEND)
            many = _measure(page, shop, job)
            yield from _told(many)
            for name in few.keys() - {"entries"}:
                yield f"{name}: so many times as long", f"{many[name] / few[name]:.2f}"
        finally:
            phone.close()
            shop.stop()


def _fill(shop: Shop, count: int, *, over: bool) -> str:
    """Returns the first of the new jobs."""
    jobs = json.loads(shop.run(FILL.format(count=count, each=EACH, over=over)).splitlines()[-1])
    return str(jobs[0][0])


def _measure(page: Page, shop: Shop, job: str) -> dict[str, float]:
    """Medians in milliseconds, and how many entries are on the phone."""
    shop.stop()
    address = f"/bench/jobs/{job}"
    lists = [ready.view(page, "/bench/")[-1] for _ in range(VIEWS)]
    jobs = [ready.view(page, address)[-1] for _ in range(VIEWS)]
    ticks = [tap["painted"] for tap in taps.tap(page, taps.watch(page), TAPS)]
    medians = {"list": lists, "job": jobs, "tick": ticks}
    held = {"entries": float(page.evaluate(HELD))}
    return held | {name: statistics.median(times) for name, times in medians.items()}


def _told(found: dict[str, float]) -> Figures:
    words = ", ".join(f"{name} {time:.0f} ms" for name, time in found.items() if name != "entries")
    yield f"{found['entries']:,.0f} entries, medians", words
