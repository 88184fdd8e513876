"""Promise: a bike goes out only when it is safe, with a record of every reading."""

import pytest
from playwright.sync_api import Page, expect

from tests.e2e.browser import Phone, open_bench
from tests.e2e.shop import Shop

pytestmark = pytest.mark.browser

WALK = """
from django.utils import timezone
from shopfloor.demo.stand import Stand, torques_found, walk
device = Device.objects.filter(person__username="mira").first()
stand = Stand(device=device, by=device.person, now=timezone.now(), n=device.last_n)
job = Job.objects.get(pk="{job}")
torques_found(stand, job, timezone.now())
walk(stand, job, steps=999, start=timezone.now())
"""


@pytest.fixture
def job(shop: Shop) -> str:
    return shop.ask("Job.objects.filter(place='booked').order_by('-number').first().pk")


def agree_to_every_check(page: Page, shop: Shop, job: str) -> None:
    steps = f"[s['key'] for s in Job.objects.get(pk='{job}').route if s['kind'] == 'check']"
    for key in shop.ask(f"' '.join({steps})").split():
        page.goto(f"/bench/jobs/{job}/steps/{key}")
        page.get_by_role("button", name="I looked and agree").click()
        expect(page.locator(f"#step-{key} .is-done")).to_be_visible()
    expect(page.locator("#truth")).to_contain_text("All sent", timeout=20_000)


def test_release_is_refused_with_reasons_until_another_person_has_looked(
    shop: Shop, phone: Phone, desk: Page, customer: Page, job: str
):
    desk.goto(f"/jobs/{job}/")
    expect(desk.get_by_text("It cannot be released yet:")).to_be_visible()
    token = desk.locator("[name=csrfmiddlewaretoken]").first.get_attribute("value")
    form = {"csrfmiddlewaretoken": token, "mode": "safe"}
    refused = desk.request.post(f"/jobs/{job}/release/", form=form)
    assert (refused.status, "is not released" in refused.text()) == (422, True)

    shop.run(WALK.format(job=job))
    desk.reload()
    expect(desk.locator(".refusals li")).to_have_count(1)

    agree_to_every_check(open_bench(phone.open(), "ned"), shop, job)
    desk.reload()
    desk.get_by_role("button", name="Release: safe to ride").click()
    expect(desk.locator("h1 + .chip")).to_contain_text("ready")

    shop.make_messages_due()
    desk.goto("/outbox/")
    text = desk.locator(".message", has_text=shop.ask(f"Job.objects.get(pk='{job}').tag"))
    sheet = text.get_by_role("link", name="See the customer's page").get_attribute("href")
    customer.goto(sheet)
    expect(customer.locator("h1")).to_contain_text("Service sheet")
    address = customer.get_by_role("link", name="Sheet as a PDF").get_attribute("href")
    pdf = customer.request.get(address)
    assert pdf.body().startswith(b"%PDF-")

    desk.goto(f"/jobs/{job}/")
    desk.get_by_role("button", name="has the bike").click()
    expect(desk.locator("h1 + .chip")).to_contain_text("collected")
    # What was signed stays as it is: that somebody fetched the bike makes no other sheet of it.
    customer.goto(sheet)
    expect(customer.locator("h1")).to_contain_text("Service sheet")
    assert shop.ask(f"Job.objects.get(pk='{job}').sheets.count()") == "1"
