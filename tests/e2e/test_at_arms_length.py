"""Promise: the bench is read at arm's length and hit with a gloved thumb, at any size of text."""

import pytest
from playwright.sync_api import Page, expect

from tests.e2e.bench_pages import bench_pages
from tests.e2e.browser import TWICE, Phone, open_bench
from tests.e2e.shop import Shop

pytestmark = pytest.mark.browser

# Half a pixel may be lost in rounding. A field inside its label is as large as the label.
TARGETS = """
() => [...document.querySelectorAll('a[href], button, summary, select, textarea, input')]
  .filter((each) => each.type !== 'hidden' && !each.matches('.skip') && each.checkVisibility())
  .map((each) => [each, (each.closest('label') ?? each).getBoundingClientRect()])
  .filter(([, box]) => box.width < 47.5 || box.height < 47.5)
  .map(([each, box]) => `${each.outerHTML.slice(0, 90)} is ${box.width} x ${box.height}`)
"""
# Wider than the screen, cut off by its own box, or running out of the thing that is tapped.
SPILLS = """
() => {
  const seen = (each) => each.checkVisibility() && !each.closest('.hidden-text, svg');
  const name = (each) => `${each.tagName}.${each.className}: ${each.textContent.slice(0, 40)}`;
  const wide = (each) => each.scrollWidth > each.clientWidth + 1;
  const all = [...document.querySelectorAll('body *')].filter(seen);
  const width = document.documentElement.clientWidth;
  return [
    ...all.filter((each) => each.getBoundingClientRect().right > width + 1),
    ...all.filter((each) => each.matches('a, button, summary, label') && wide(each)),
    ...all.filter((each) => getComputedStyle(each).overflowX !== 'visible' && wide(each)),
  ].map(name);
}
"""
# The ratio of WCAG 2.2 between each text and the first ground behind it that is not see-through.
CONTRASTS = """
() => {
  const numbers = (colour) => colour.match(/[\\d.]+/g).map(Number);
  const channel = (part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4);
  const light = (colour) => {
    const [red, green, blue] = numbers(colour).map((part) => channel(part / 255));
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
  };
  const ground = (each) => {
    const own = getComputedStyle(each).backgroundColor;
    const [, , , solid = 1] = numbers(own);
    return solid > 0 || !each.parentElement ? own : ground(each.parentElement);
  };
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const found = [];
  while (texts.nextNode()) {
    const words = texts.currentNode.data.trim();
    const each = texts.currentNode.parentElement;
    if (!words || !each.checkVisibility() || each.closest('.hidden-text, svg, select')) continue;
    const both = [light(getComputedStyle(each).color), light(ground(each))];
    const [dark, bright] = both.sort((one, other) => one - other);
    const ratio = (bright + 0.05) / (dark + 0.05);
    if (ratio < 7) found.push(`${words.slice(0, 40)}: ${ratio.toFixed(2)}`);
  }
  return found;
}
"""


def measure(page: Page, pages: list[str], *scripts: str) -> list[str]:
    """What each script finds on each page, one line each."""
    found = []
    for address in pages:
        page.goto(address)
        # In another typeface the same words are wider.
        page.evaluate("() => document.fonts.ready.then(() => true)")
        found += [f"{address}: {line}" for script in scripts for line in page.evaluate(script)]
    return found


def test_every_target_is_hit_and_no_text_is_cut_at_any_size(phone: Phone, shop: Shop):
    page = open_bench(phone.open(), "mira")
    pages = bench_pages(page, shop)
    small = {"width": 320, "height": 568}
    found = measure(page, pages, TARGETS, SPILLS)
    page.set_viewport_size(small)
    found += measure(page, pages, TARGETS, SPILLS)
    page.add_init_script(TWICE)
    found += measure(page, pages, TARGETS, SPILLS)
    page.set_viewport_size({"width": 390, "height": 844})
    found += measure(page, pages, TARGETS, SPILLS)

    assert len(pages) > 15
    assert found == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_text_stands_out_seven_to_one(phone: Phone, shop: Shop, scheme):
    page = open_bench(phone.open(), "mira")
    page.emulate_media(color_scheme=scheme)

    assert measure(page, bench_pages(page, shop), CONTRASTS) == []


def test_what_is_done_most_lies_in_the_lower_half(phone: Phone, shop: Shop):
    page = open_bench(phone.open(), "mira")
    middle = 844 / 2
    found = {}
    pages = bench_pages(page, shop)
    page.get_by_role("button", name="Still on it").click()
    expect(page.locator(".hands-question")).to_have_count(0)
    for address in pages:
        page.goto(address)
        for button in page.locator(".primary:visible, .sticky-button:visible").all():
            box = button.bounding_box()
            # Further down the page the thumb brings it where it wants it.
            if box and box["y"] + box["height"] < middle:
                found[address] = button.inner_text()

    assert found == {}
