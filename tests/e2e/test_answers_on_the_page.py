"""Promise: after any tap the page says what it would say if it were opened anew."""

import random

import pytest
from playwright.sync_api import Page, expect

from tests.e2e.browser import Phone, open_bench
from tests.e2e.shop import Shop

pytestmark = pytest.mark.browser
OPEN_JOB = "str(Job.objects.filter(place='on the stand').order_by('number').first().pk)"
# What was kept just now is told after a tap only, photos come when they come, and the rest is this
# page's own bookkeeping.
DIFFERENCE = """
async () => {
  const parser = new DOMParser();
  const answer = await fetch(location.href, { cache: 'no-store' });
  const anew = parser.parseFromString(await answer.text(), 'text/html');
  const plain = (page) => {
    const body = page.body.cloneNode(true);
    const own = body.querySelectorAll('#kept, #trouble, #new-version, #truth, #photos');
    for (const node of own) node.remove();
    for (const node of body.querySelectorAll('*')) {
      node.removeAttribute('data-htmx-powered');
      if (node.matches('.htmx-request')) node.classList.remove('htmx-request');
    }
    return [...body.children].map((node) => node.outerHTML).join('').replaceAll('><', '>\\n<');
  };
  const [shown, drawn] = [plain(document).split('\\n'), plain(anew).split('\\n')];
  const at = drawn.findIndex((line, place) => line !== shown[place]);
  return at < 0 && shown.length === drawn.length ? '' : `${shown[at]} instead of ${drawn[at]}`;
}
"""


def expect_as_if_opened_anew(page: Page) -> None:
    page.wait_for_function("() => !document.querySelector('.htmx-request')", timeout=5000)
    assert page.evaluate(DIFFERENCE) == ""


def test_ticks_undone_and_done_again_leave_the_page_as_if_opened_anew(shop: Shop, phone: Phone):
    page = open_bench(phone.open(), "mira")
    page.goto(f"/bench/jobs/{shop.ask(OPEN_JOB)}")
    some = random.Random(7)
    ticks = page.locator("button.tick")

    for _ in range(12):
        tick = ticks.nth(some.randrange(ticks.count()))
        before = tick.get_attribute("aria-pressed")
        tick.click()
        expect(tick).not_to_have_attribute("aria-pressed", before or "")
        expect(tick).to_be_focused()
        expect_as_if_opened_anew(page)


def test_two_ticks_at_once_leave_the_page_as_if_opened_anew(shop: Shop, phone: Phone):
    page = open_bench(phone.open(), "mira")
    page.goto(f"/bench/jobs/{shop.ask(OPEN_JOB)}")
    rows = page.locator("li.step:has(button.tick[aria-pressed=false])")
    ids = [rows.nth(place).get_attribute("id") for place in range(4)]

    for first, second in (ids[:2], ids[2:], ids[:2], ids[1:3]):
        # The answer to the second comes while the first is still being drawn.
        page.evaluate(
            """async (ids) => {
              for (const id of ids) document.querySelector(`#${id} button.tick`).click();
            }""",
            [first, second],
        )
        expect(page.locator("#kept")).not_to_be_empty()
        expect_as_if_opened_anew(page)


def test_taking_back_from_the_line_leaves_the_page_as_if_opened_anew(shop: Shop, phone: Phone):
    page = open_bench(phone.open(), "mira")
    page.goto(f"/bench/jobs/{shop.ask(OPEN_JOB)}")
    open_row = page.locator("li.step:has(button.tick[aria-pressed=false])").first
    tick = page.locator(f"#{open_row.get_attribute('id')} button.tick")
    tick.click()
    expect(tick).to_have_attribute("aria-pressed", "true")
    page.locator("#kept button").click()

    expect(tick).to_have_attribute("aria-pressed", "false")
    expect_as_if_opened_anew(page)
