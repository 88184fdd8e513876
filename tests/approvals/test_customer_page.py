"""The customer's page: reading decides nothing, the last form decides once."""

import io
from datetime import timedelta
from hashlib import sha256

import pytest
from django.test import Client
from PIL import Image

from shopfloor.approvals import services
from shopfloor.approvals.models import Offer
from shopfloor.handover.services import cancel_job
from shopfloor.jobs import photos
from shopfloor.outbox.models import Link
from shopfloor.outbox.services import token_of
from tests.approvals.conftest import Scene
from tests.factories import NOON


class Page:
    """One customer with a browser that refuses scripts and cookies."""

    def __init__(self, offer: Offer) -> None:
        self.offer = offer
        link = Link.objects.get(subject=offer.id)
        self.address = f"/a/{token_of(link)}/"
        self.client = Client(enforce_csrf_checks=True)

    def form(self, *choices: str, version: int = 1) -> dict[str, str]:
        lines = [f"line-{line.id}" for line in self.offer.lines.all()]
        return dict(zip(lines, choices, strict=False)) | {"version": str(version)}

    def check(self, *choices: str, version: int = 1):
        return self.client.post(f"{self.address}check/", self.form(*choices, version=version))

    def confirm(self, *choices: str, version: int = 1):
        shown = self.check(*choices, version=version)
        form = self.form(*choices, version=version) | {"nonce": shown.context["nonce"]}
        return self.client.post(f"{self.address}answer/", form)


@pytest.fixture
def page(scene: Scene, time_machine_now: None) -> Page:
    offer = services.make_offer(
        job=scene.job, wanted=[scene.pads, scene.lamp], by=scene.otto, at=NOON
    )
    return Page(offer)


@pytest.fixture
def time_machine_now():
    import time_machine

    with time_machine.travel(NOON, tick=False):
        yield


def test_reading_decides_nothing(page: Page) -> None:
    for method in (page.client.get, page.client.head):
        for path in ("", "check/", "answer/"):
            method(page.address + path)

    page.offer.refresh_from_db()
    assert page.offer.state == "open"


def test_yes_and_no_are_checked_then_confirmed(page: Page) -> None:
    checked = page.check("yes", "no")
    page.offer.refresh_from_db()
    assert (checked.status_code, page.offer.state) == (200, "open")
    assert "£19.20" in checked.content.decode()

    confirmed = page.confirm("yes", "no")

    page.offer.refresh_from_db()
    assert (confirmed.status_code, page.offer.state) == (302, "answered")
    assert [line.decision for line in page.offer.lines.all()] == ["yes", "no"]
    assert "Renew the brake pads" in page.client.get(page.address).content.decode()


def test_a_photo_is_shown_small_and_leads_to_the_whole(page: Page) -> None:
    buffer = io.BytesIO()
    Image.new("RGB", (800, 600)).save(buffer, "PNG")
    name = sha256(buffer.getvalue()).hexdigest()
    shop = page.offer.job.workshop
    photos.store_photo(workshop=shop, name=name, data=buffer.getvalue(), at=NOON)
    page.offer.lines.filter(title="Renew the brake pads").update(photo=name)
    address = f"{page.address}photos/{name}/"

    assert f'<a href="{address}"><img src="{address}?size=small"' in (
        page.client.get(page.address).content.decode()
    )
    for asked, width in ((f"{address}?size=small", 320), (address, 800)):
        assert Image.open(io.BytesIO(page.client.get(asked).content)).width == width


def test_nothing_is_chosen_beforehand(page: Page) -> None:
    assert "checked" not in page.client.get(page.address).content.decode()


def test_a_line_without_an_answer_keeps_the_others(page: Page) -> None:
    response = page.check("yes")

    text = response.content.decode()
    assert response.status_code == 422
    assert "Say yes or no" in text
    assert text.count("checked") == 1


def test_a_changed_offer_is_read_again(page: Page) -> None:
    Offer.objects.filter(pk=page.offer.pk).update(version=2)

    response = page.check("yes", "yes", version=1)

    page.offer.refresh_from_db()
    assert (response.status_code, page.offer.state) == (409, "open")


def test_the_last_form_needs_the_check_page(page: Page) -> None:
    response = page.client.post(f"{page.address}answer/", page.form("yes", "yes"))

    page.offer.refresh_from_db()
    assert (response.status_code, page.offer.state) == (409, "open")


def test_sending_the_form_twice_gives_the_same_receipt(page: Page) -> None:
    checked = page.check("yes", "no")
    form = page.form("yes", "no") | {"nonce": checked.context["nonce"]}

    first = page.client.post(f"{page.address}answer/", form)
    second = page.client.post(f"{page.address}answer/", form)

    assert first["Location"] == second["Location"]
    assert page.client.get(page.address).status_code == 200


def test_every_bad_link_shows_the_same_page(page: Page) -> None:
    Link.objects.all().update(revoked_at=NOON)
    bodies = {
        page.client.get(address).content
        for address in (page.address, "/a/zzzzzzzzzzzzzzzzzzzzzzz/", "/a/x/", "/a/%00/")
    }
    statuses = {page.client.get(a).status_code for a in (page.address, "/a/x/")}

    assert len(bodies) == 1
    assert statuses == {404}


def test_the_page_is_small_and_without_script(page: Page) -> None:
    response = page.client.get(page.address)

    text = response.content.decode()
    assert len(response.content) < 15_000
    assert "<script" not in text
    assert "script-src" not in response["Content-Security-Policy"]
    assert response["Cache-Control"] == "no-store"
    assert response["Referrer-Policy"] == "same-origin"


def test_the_page_names_no_person_and_no_number(page: Page) -> None:
    text = page.client.get(page.address).content.decode()

    assert "Field" not in text
    assert "07700" not in text


def test_a_link_to_a_sheet_opens_no_offer(page: Page) -> None:
    Link.objects.all().update(purpose="sheet")

    assert page.client.get(page.address).status_code == 404


def test_after_the_offer_has_run_out_nothing_is_decided(page: Page) -> None:
    checked = page.check("yes", "no")
    form = page.form("yes", "no") | {"nonce": checked.context["nonce"]}
    Offer.objects.update(holds_until=NOON - timedelta(minutes=1))

    sent = page.client.post(f"{page.address}answer/", form)

    page.offer.refresh_from_db()
    assert (sent.status_code, page.offer.state) == (302, "open")
    assert "has run out" in page.client.get(page.address).content.decode()


def test_a_number_of_five_thousand_digits_is_no_version(page: Page) -> None:
    form = page.form("yes", "no") | {"version": "9" * 5000}

    response = page.client.post(f"{page.address}check/", form)

    assert response.status_code == 409


def test_a_cancelled_job_asks_nothing_any_more(page: Page, scene: Scene) -> None:
    cancel_job(job=scene.job, reason="Changed her mind", by=scene.otto, at=NOON)

    assert "nothing to answer here" in page.client.get(page.address).content.decode()
