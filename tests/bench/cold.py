"""A phone out of the pocket, no signal: from the address to a page that listens to the finger."""

import time
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext

from playwright.sync_api import Page, sync_playwright

from tests.bench import ready, slow
from tests.bench.figures import Figures, middle_and_p95
from tests.bench.stage import Stage
from tests.bench.tick import SLOWER, page_slowed
from tests.e2e.browser import Phone, open_bench

STEPS, ENTRIES, STARTS = 80, 1000, 12
ADD = f"""
from tests.bench.filling import add_long_job
print(add_long_job(steps={STEPS}, count={ENTRIES}))
"""
# The browser's own start is not ours: its windows and menus, which a phone does not have.
SETTLED_S = 5
LENGTHEN = f"""
from tests.bench.filling import lengthen
print(json.dumps(lengthen({ENTRIES})))
"""

Slowly = Callable[[Page], AbstractContextManager[object]]


def figures(stage: Stage) -> Figures:
    """The browser is started anew each time on the profile it left; the server is dead."""
    shop, profile = stage.shop(), stage.profile()
    job = shop.run(ADD).splitlines()[-1]
    ways: dict[str, Slowly] = {
        "as fast as it goes": lambda _page: nullcontext(),
        f"page's thread {SLOWER}x slower": page_slowed,
        f"all processes {SLOWER}x slower": lambda _page: slow.each_process(profile, 1 / SLOWER),
    }
    with sync_playwright() as driver:
        phone = Phone(driver, profile, shop)
        try:
            shop.start()
            open_bench(phone.open(), "mira").goto(f"/bench/jobs/{job}")
            phone.close()
            shop.stop()
            yield "steps of the job, entries of its journal", f"{STEPS}, {ENTRIES}"
            for name, slowly in ways.items():
                starts = [_start(phone, f"/bench/jobs/{job}", slowly) for _ in range(STARTS)]
                yield name, middle_and_p95([start[-1] for start in starts])
                yield "  median until", ready.parts(starts)
        finally:
            phone.close()
            shop.stop()


def _start(phone: Phone, address: str, slowly: Slowly) -> list[float]:
    page = phone.open()
    ready.watch(page)
    time.sleep(SETTLED_S)
    try:
        with slowly(page):
            return ready.view(page, address)
    finally:
        phone.close()
