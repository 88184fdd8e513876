"""Promise: the wall screen tells what happens in the shop without being touched."""

import pytest
from playwright.sync_api import Page, expect

from tests.e2e.browser import Phone, open_bench
from tests.e2e.shop import Shop

pytestmark = pytest.mark.browser


def test_hands_on_at_the_stand_shows_on_the_board_by_itself(shop: Shop, phone: Phone, desk: Page):
    job = shop.ask("Job.objects.filter(place='booked').order_by('number').first().pk")
    desk.goto("/board/")
    row = desk.locator(f"#row-{job}")
    expect(row).to_contain_text("booked")
    desk.evaluate("() => { window.untouched = true }")

    bench = open_bench(phone.open(), "mira")
    bench.goto(f"/bench/jobs/{job}")
    bench.get_by_role("button", name="Hands on").click()

    expect(row).to_contain_text("on the stand", timeout=20_000)
    expect(row).to_contain_text("Mira")
    assert desk.evaluate("() => window.untouched")
