"""Promise: what was not kept is said, and stays said until something is done about it."""

import pytest
from playwright.sync_api import expect

from tests.e2e.browser import Phone, open_bench
from tests.e2e.shop import Shop

pytestmark = pytest.mark.browser
OPEN_JOB = "str(Job.objects.filter(place='on the stand').order_by('number').first().pk)"
# The worker refuses the first tick as it does when the phone is full; its direct line is dead.
NO_ROOM = """
MessagePort.prototype.postMessage = () => {};
const real = window.fetch;
window.fetch = (url, init) => {
  if (!String(url).endsWith("/tick")) return real(url, init);
  window.fetch = real;
  const headers = { "Content-Type": "text/plain; charset=utf-8" };
  return Promise.resolve(new Response("No room left.", { status: 507, headers }));
};
window.swaps = 0;
document.addEventListener("htmx:after:swap", ({ target }) => {
  if (!target.closest("[data-quiet]")) window.swaps += 1;
});
"""


def test_a_refusal_outlasts_the_page_being_read_again(shop: Shop, phone: Phone):
    page = open_bench(phone.open(), "mira")
    page.goto(f"/bench/jobs/{shop.ask(OPEN_JOB)}")
    row = page.locator("li.step", has=page.locator("button.tick[aria-pressed=false]")).nth(1)
    tick = page.locator(f"#{row.get_attribute('id')} button.tick")
    page.evaluate(NO_ROOM)

    tick.click()
    page.wait_for_function("() => window.swaps > 0")

    expect(page.get_by_role("alert")).to_have_text("No room left.")
    expect(page.get_by_role("alert")).to_be_in_viewport()
    expect(page.locator("#who summary")).to_be_in_viewport()
    tick.click()
    expect(tick).to_have_attribute("aria-pressed", "true")
    expect(page.get_by_role("alert")).to_have_count(0)
