"""No page has a serious violation of WCAG 2.2 AA that axe can see; the bench has none at all."""

import json

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.e2e.bench_pages import bench_pages
from tests.e2e.browser import PHONE, TWICE, Phone, open_bench
from tests.e2e.shop import Shop

pytestmark = pytest.mark.browser
OPEN_JOB = "Job.objects.filter(place='on the stand').order_by('number').first()"
LINKS = """
from shopfloor.outbox.services import address_of
print(json.dumps({link.purpose: address_of(link) for link in Link.objects.order_by("created_at")}))
"""


IMPACTS = ["minor", "moderate", "serious", "critical"]


def violations(page: Page, address: str, *, least: str = "serious") -> list[str]:
    """What axe finds, one line each: page, rule, place."""
    page.goto(address)
    found = Axe().run(page).response["violations"]
    return [
        f"{address}: {each['id']} at {node['target']}"
        for each in found
        if IMPACTS.index(each["impact"]) >= IMPACTS.index(least)
        for node in each["nodes"]
    ]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_desk(desk: Page, shop: Shop, scheme):
    desk.emulate_media(color_scheme=scheme)
    job, bike = shop.ask(f"{OPEN_JOB}.pk"), shop.ask(f"{OPEN_JOB}.bike_id")
    pages = ["/board/", "/jobs/", f"/jobs/{job}/", f"/jobs/{job}/tag/", "/jobs/new/"]
    pages += ["/outbox/", "/workshop/", f"/jobs/{job}/sheet/", f"/bikes/{bike}/", "/calculators/"]
    pages += [f"/calculators/{name}/" for name in ("chain-verdict", "critical-path", "tyre-size")]

    assert [line for address in pages for line in violations(desk, address)] == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_pages_without_an_account(browser: Browser, shop: Shop, scheme):
    context = browser.new_context(base_url=shop.url, color_scheme=scheme, **PHONE)
    page = context.new_page()
    links = json.loads(shop.run(LINKS))
    pages = ["/sign-in/", "/a/no-such-link/", "/v/", links["offer"], links["sheet"]]

    found = [line for address in pages for line in violations(page, address)]
    context.close()
    assert found == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_bench(phone: Phone, shop: Shop, scheme):
    """Nothing at all is found, on a small phone and with the text at twice its size."""
    page = open_bench(phone.open(), "mira")
    page.emulate_media(color_scheme=scheme)
    pages = bench_pages(page, shop)
    found = [line for address in pages for line in violations(page, address, least="minor")]
    page.set_viewport_size({"width": 320, "height": 568})
    page.add_init_script(TWICE)
    found += [line for address in pages for line in violations(page, address, least="minor")]

    assert found == []
