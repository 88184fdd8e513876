"""Promise: what is written at the stand without signal is there after any crash, and arrives."""

import json
from collections.abc import Iterator

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from tests.e2e.browser import Phone, open_bench
from tests.e2e.shop import Shop, until

pytestmark = pytest.mark.browser
OPEN_JOB = "str(Job.objects.filter(place='on the stand').order_by('number').first().pk)"


def asks(shop: Shop, job: str, kind: str) -> Iterator[str]:
    """The addresses of the asks of one kind, as found."""
    for step in json.loads(shop.ask(f"json.dumps(Job.objects.get(pk='{job}').route)")):
        for ask in step["asks"]:
            if ask["kind"] == kind and "found" in ask["phases"]:
                yield f"/bench/jobs/{job}/steps/{step['key']}/asks/{ask['item']}?phase=found"


def write_a_reading(page: Page, address: str) -> None:
    page.goto(address)
    for key in ("2", ".", "5"):
        page.locator(f".pad-key[data-key='{key}']").click()
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#answer")).to_contain_text("Kept.")


def find_a_torque_loose(page: Page, address: str) -> None:
    page.goto(address)
    page.get_by_role("button", name="Found loose").click()
    expect(page.locator("#kept")).to_contain_text("found: loose")


def write_a_note(page: Page, job: str) -> None:
    page.goto(f"/bench/jobs/{job}")
    page.get_by_role("link", name="Note", exact=True).click()
    page.get_by_label("What should others know?").fill("Seat post <tight> & “greased”")
    page.get_by_role("button", name="Keep the note").click()
    expect(page.locator(".note").last).to_contain_text("Seat post <tight> & “greased”")


def report_a_finding(page: Page, job: str) -> None:
    page.goto(f"/bench/jobs/{job}/finding")
    page.get_by_label("What needs doing").fill("New bell")
    page.get_by_label("Why", exact=True).fill("The spring of the bell is broken.")
    page.get_by_label("Minutes of work").fill("5")
    page.get_by_role("button", name="Report the finding").click()
    expect(page.locator("#findings + ul")).to_contain_text("New bell")


def take_a_photo(page: Page, job: str, folder) -> None:
    picture = folder / "стенд.jpg"
    Image.effect_noise((2400, 1800), 60).convert("RGB").save(picture, quality=80)
    page.goto(f"/bench/jobs/{job}/photos")
    page.locator("input[data-photo-to*='phase=detail']").set_input_files(picture)
    expect(page.locator("#photos img").last).to_be_visible(timeout=20_000)


def kinds_after(shop: Shop, before: int) -> list[str]:
    rows = (
        f"StoredEntry.objects.filter(seq__gt={before}).order_by('n').values_list('kind', flat=True)"
    )
    return json.loads(shop.ask(f"json.dumps(list({rows}))"))


def test_work_without_signal_survives_crashes_and_arrives(shop: Shop, phone: Phone, tmp_path):
    job = shop.ask(OPEN_JOB)
    before = int(shop.ask("Workshop.objects.get().last_seq"))
    photos = int(shop.ask("Photo.objects.count()"))
    reading, torque = next(asks(shop, job, "reading")), next(asks(shop, job, "torque"))
    open_bench(phone.open(), "mira")

    shop.kill()
    phone.kill()
    page = phone.open()
    page.goto(f"/bench/jobs/{job}")
    tick = page.locator("button.tick[aria-pressed=false]").first
    step = tick.locator("xpath=ancestor::li").get_attribute("id")
    tick.click()
    expect(page.locator(f"#{step} button.tick")).to_have_attribute("aria-pressed", "true")
    write_a_reading(page, reading)
    find_a_torque_loose(page, torque)
    write_a_note(page, job)
    report_a_finding(page, job)
    take_a_photo(page, job, tmp_path)
    expect(page.locator("#truth")).to_contain_text("6 entries and 1 photo kept on this phone")
    phone.kill()

    page = phone.open()
    page.goto(f"/bench/jobs/{job}")
    expect(page.locator("#truth")).to_contain_text("6 entries and 1 photo kept on this phone")
    expect(page.locator(f"#{step} button.tick")).to_have_attribute("aria-pressed", "true")
    phone.kill()

    shop.start()
    page = phone.open()
    page.goto("/bench/")
    expect(page.locator("#truth")).to_contain_text("All sent", timeout=30_000)

    written = ["tick", "reading", "reading", "note", "finding", "photo"]
    assert until(lambda: kinds_after(shop, before), written) == written
    assert until(lambda: shop.ask("Photo.objects.count()"), str(photos + 1)) == str(photos + 1)
    sent = f"StoredEntry.objects.filter(seq__gt={before})"
    assert shop.ask(f"[e.wire['body'].get('loose') for e in {sent}].count(True)") == "1"
    numbers = f"StoredEntry.objects.filter(seq__gt={before}).values_list('seq', flat=True)"
    arrived = json.loads(shop.ask(f"json.dumps(sorted({numbers}))"))
    assert arrived == list(range(before + 1, before + 7))
