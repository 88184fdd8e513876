"""Promise: a bike can be taken in and worked on without signal, and nothing of it is lost."""

import json
import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, Playwright, expect

from tests.e2e.browser import Phone, open_bench
from tests.e2e.shop import Shop, until

pytestmark = pytest.mark.browser

BIKE = "moss-green city bike, wicker basket"
KEPT = """
async (words) => (await (await fetch('/bench/walk-in')).text()).includes(words)
"""


def type_half(page: Page) -> None:
    """Returns once what was typed is on the disk: the form, asked for anew, comes with it."""
    page.goto("/bench/walk-in")
    page.get_by_label("Name").fill("Jana Novak")
    page.get_by_label("The bike in a few words").fill(BIKE)
    assert until(lambda: page.evaluate(KEPT, BIKE), True)


def fill_in_the_rest(page: Page) -> None:
    page.get_by_label("Telephone").fill("020 7946 0991")
    page.get_by_text("City bike", exact=True).click()
    expect(page.locator("#usual")).to_contain_text("Brakes: Drum or roller.")
    page.get_by_text("This bike differs").click()
    page.get_by_text("Disc", exact=True).click()
    expect(page.locator("#usual")).to_contain_text("Brakes: Disc.")
    page.get_by_text("Hydraulic brakes").click()
    expect(page.locator("#usual")).to_contain_text("Hydraulic brakes.")
    page.get_by_text("Safety check").click()
    page.get_by_label("What the rider says").fill("The front brake <squeals>")
    page.get_by_label("Extra work may cost").fill("40")


def open_job(page: Page) -> str:
    """The path of the job's page."""
    page.get_by_role("button", name="Take it in").click()
    expect(page.locator(".tag-code")).to_have_text(re.compile(r"^[0-9A-Z]{4}$"))
    begin = page.get_by_role("link", name="Begin the work")
    path = begin.get_attribute("href")
    begin.click()
    page.wait_for_url(f"**{path}")
    return str(path)


def work(page: Page, job: str) -> None:
    page.locator("#step-identify button.tick").click()
    expect(page.locator("#step-identify button.tick")).to_have_attribute("aria-pressed", "true")
    page.goto(f"{job}/steps/measure_brakes/asks/front-rotor?phase=found")
    for key in ("1", ".", "7"):
        page.locator(f".pad-key[data-key='{key}']").click()
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#answer")).to_contain_text("Kept.")


def expect_the_work(page: Page, job: str) -> None:
    page.goto("/bench/")
    expect(page.locator(f"#job-{job.rpartition('/')[2]}")).to_contain_text(BIKE)
    page.goto(job)
    expect(page.locator("#main")).to_contain_text("The front brake <squeals>")
    expect(page.locator("#step-identify button.tick")).to_have_attribute("aria-pressed", "true")
    expect(page.locator("#step-measure_brakes")).to_contain_text("1.7 mm")


ARRIVED = """
from shopfloor.jobs.routes import route_sha
from shopfloor.trade.route import compose
job = Job.objects.get(pk={job!r})
sent = StoredEntry.objects.filter(job=job).order_by("seq")
print(json.dumps({{
    "customer": [job.customer.name, job.customer.phone_e164],
    "bike": job.bike.words,
    "limit": job.go_ahead_minor,
    "by": [str(Person.objects.get(username="mira").pk)] == [
        str(entry.wire["by"]) for entry in sent if entry.kind == "opened"
    ],
    "composed": route_sha(compose(job.bike.traits, job.service)) == job.route_sha,
    "hydraulic": job.bike.traits["hydraulic"],
    "work": [entry.kind for entry in sent if entry.kind in ("tick", "reading")],
    "refused": Device.objects.exclude(refused_ns=[]).count(),
    "promised": job.promises.exists(),
}}))
"""


def arrived(shop: Shop, job: str) -> dict[str, object]:
    if shop.ask(f"Job.objects.filter(pk={job!r}).count()") == "0":
        return {}
    found: dict[str, object] = json.loads(shop.run(ARRIVED.format(job=job)))
    return found


def test_a_walk_in_without_signal_survives_crashes_and_arrives_with_its_work(
    shop: Shop, phone: Phone, desk: Page, playwright: Playwright, tmp_path: Path
):
    page = open_bench(phone.open(), "mira")
    page.goto("/bench/walk-in")
    expect(page.get_by_label("Name")).to_be_visible()

    shop.kill()
    page.context.set_offline(True)
    type_half(page)
    phone.kill()
    page = phone.open()
    page.context.set_offline(True)
    page.goto("/bench/")
    page.get_by_role("link", name="Take a bike in").click()
    expect(page.get_by_label("Name")).to_have_value("Jana Novak")
    expect(page.get_by_label("The bike in a few words")).to_have_value(BIKE)
    fill_in_the_rest(page)
    job = open_job(page)
    work(page, job)
    phone.kill()

    page = phone.open()
    expect_the_work(page, job)
    expect(page.locator("#truth")).to_contain_text("kept on this phone")
    page.goto("/bench/walk-in")
    expect(page.get_by_label("Name")).to_have_value("")

    shop.start()
    page.goto("/bench/")
    expect(page.locator("#truth")).to_contain_text("All sent", timeout=30_000)
    key = job.rpartition("/")[2]
    expected = {
        "customer": ["Jana Novak", "+442079460991"],
        "bike": BIKE,
        "limit": 4000,
        "by": True,
        "composed": True,
        "hydraulic": True,
        "work": ["tick", "reading"],
        "refused": 0,
        "promised": True,
    }
    assert until(lambda: arrived(shop, key), expected) == expected

    number = shop.ask(f"Job.objects.get(pk={key!r}).tag")
    page.goto("/bench/")
    expect(page.locator(f"#job-{key}")).to_contain_text(number)
    page.get_by_role("button", name=f"Its tag says {number}").click()
    expect(page.get_by_role("button", name="Its tag says")).to_have_count(0)
    desk.goto("/board/")
    expect(desk.locator("#board")).to_contain_text(BIKE)
    expect(desk.locator("#board")).to_contain_text(number)

    other = Phone(playwright, tmp_path / "other", shop)
    expect_the_work(open_bench(other.open(), "otto"), job)
    other.close()
