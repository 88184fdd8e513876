"""Promise: neither being signed out nor a server put back from a backup costs a mechanic's work."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, Playwright, expect

from tests.e2e.browser import Phone, open_bench
from tests.e2e.shop import Shop, until

pytestmark = pytest.mark.browser
OPEN_JOB = "str(Job.objects.filter(place='on the stand').order_by('number').first().pk)"
DATABASE = "shopfloor.sqlite3"


@pytest.fixture
def other(playwright: Playwright, shop: Shop, tmp_path: Path) -> Iterator[Phone]:
    """Another mechanic's phone."""
    phone = Phone(playwright, tmp_path / "other", shop)
    yield phone
    phone.close()


def write_note(page: Page, job: str, text: str) -> None:
    page.goto(f"/bench/jobs/{job}/note")
    page.get_by_label("What should others know?").fill(text)
    page.get_by_role("button", name="Keep the note").click()
    expect(page.locator(".note").last).to_contain_text(text)


def send(page: Page) -> None:
    page.goto("/bench/kept")
    page.get_by_role("button", name="Send now").click()
    expect(page.locator("#truth")).to_contain_text("All sent")


def count(text: str) -> str:
    return f"StoredEntry.objects.filter(wire__contains={text!r}).count()"


def sign_out_all_phones(shop: Shop) -> None:
    shop.run(
        "from django.utils import timezone\n"
        "Device.objects.filter(kind='phone').update(revoked_at=timezone.now())"
    )


def test_a_phone_that_was_signed_out_keeps_what_only_it_has(shop: Shop, phone: Phone):
    job = shop.ask(OPEN_JOB)
    page = open_bench(phone.open(), "mira")
    phone.context.set_offline(True)
    write_note(page, job, "Spoke nipple seized")
    sign_out_all_phones(shop)
    phone.context.set_offline(False)

    expect(page.locator("body")).to_contain_text("signed this phone out", timeout=30_000)
    page.goto("/bench/kept")
    expect(page.locator("main")).to_contain_text("Note: Spoke nipple seized")
    phone.context.set_offline(True)
    page.goto(f"/bench/jobs/{job}")
    expect(page.locator("main")).to_contain_text("Note: Spoke nipple seized")
    phone.context.set_offline(False)

    page.goto("/bench/enrol")
    page.get_by_role("button", name="Make this phone known").click()
    page.wait_for_url("**/bench/")
    expect(page.locator("#truth")).to_contain_text("All sent", timeout=30_000)
    assert until(lambda: shop.ask(count("Spoke nipple seized")), "1") == "1"


def test_after_a_restore_the_phones_bring_back_what_the_backup_lacks(
    shop: Shop, phone: Phone, other: Phone, tmp_path: Path
):
    job = shop.ask(OPEN_JOB)
    mine, theirs = open_bench(phone.open(), "mira"), open_bench(other.open(), "otto")
    shop.stop()
    shutil.copy(shop.var / DATABASE, tmp_path / DATABASE)
    shop.start()
    write_note(mine, job, "Written by Mira")
    send(mine)
    write_note(theirs, job, "Written by Otto")
    send(theirs)
    send(mine)

    shop.stop()
    for file in shop.var.glob(f"{DATABASE}*"):
        file.unlink()
    shutil.copy(tmp_path / DATABASE, shop.var / DATABASE)
    shop.command("new_epoch")
    shop.start()
    send(mine)
    expect(mine.locator("#lost")).to_contain_text("Note: Written by Otto")
    assert shop.ask(count("Written by Mira")) == "1"

    send(theirs)
    assert shop.ask(count("Written by Otto")) == "1"
    send(mine)
    expect(mine.locator("#lost")).to_have_count(0)
    mine.goto(f"/bench/jobs/{job}")
    expect(mine.locator("main")).to_contain_text("Written by Otto")
    expect(mine.locator("main")).to_contain_text("Written by Mira")
