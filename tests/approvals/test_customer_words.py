"""What the customer's pages say: small, without script, honest about what is not yet decided."""

import re

import pytest
import time_machine
from django.test import Client

from shopfloor.approvals import services
from shopfloor.approvals.models import Offer
from shopfloor.outbox.models import Link
from shopfloor.outbox.services import token_of
from tests.approvals.conftest import Scene
from tests.factories import NOON

# Our own limit for a page on a slow phone: the page itself, without photos.
PAGE_BYTES = 15_000


@pytest.fixture
def offer(scene: Scene):
    with time_machine.travel(NOON, tick=False):
        yield services.make_offer(
            job=scene.job, wanted=[scene.pads, scene.lamp], by=scene.otto, at=NOON
        )


def _address(offer: Offer) -> str:
    return f"/a/{token_of(Link.objects.get(subject=offer.id))}/"


def _form(offer: Offer, *choices: str) -> dict[str, str]:
    lines = [f"line-{line.id}" for line in offer.lines.all()]
    return dict(zip(lines, choices, strict=False)) | {"version": str(offer.version)}


def _text(response) -> str:
    return re.sub(r"\s+", " ", response.content.decode())


def test_the_page_is_small_and_runs_nothing(client: Client, offer: Offer):
    response = client.get(_address(offer))

    assert len(response.content) < PAGE_BYTES
    assert "<script" not in _text(response)
    assert "style=" not in _text(response)


def test_each_line_is_one_question_with_its_title_as_legend(client: Client, offer: Offer):
    page = _text(client.get(_address(offer)))

    assert page.count("<fieldset") == page.count("<legend") == 2
    assert page.count("Yes, do this") == page.count("No, leave it") == 2


def test_the_total_is_told_before_anything_is_chosen(client: Client, offer: Offer):
    # Two lines of 20 min at £48.00 an hour with 20 % VAT: twice £19.20, by hand.
    assert "£38.40" in _text(client.get(_address(offer)))


def test_only_safety_lines_say_what_happens_without_them(client: Client, offer: Offer):
    page = _text(client.get(_address(offer)))

    assert page.count("If it is not done") == 1
    assert page.count("matters for your safety") == 1


def test_the_check_page_says_that_nothing_is_decided(client: Client, offer: Offer):
    page = _text(client.post(f"{_address(offer)}check/", _form(offer, "yes", "no")))

    assert "Nothing is decided yet" in page
    assert "Send my answer: yes to £19.20 of work" in page


def test_saying_no_to_all_is_named_on_the_button(client: Client, offer: Offer):
    page = _text(client.post(f"{_address(offer)}check/", _form(offer, "no", "no")))

    assert "Send my answer: leave it as it is" in page


def test_changing_an_answer_keeps_the_others(client: Client, offer: Offer):
    form = _form(offer, "yes", "no") | {"change": "1"}

    page = _text(client.post(f"{_address(offer)}check/", form))

    assert page.count(" checked>") == 2
    assert "See the total of my answers" in page


def test_a_missing_answer_is_named_at_the_top_and_at_its_line(client: Client, offer: Offer):
    missing = offer.lines.all()[1]

    response = client.post(f"{_address(offer)}check/", _form(offer, "yes"))
    page = _text(response)

    assert response.status_code == 422
    assert f'href="#yes-{missing.id}"' in page
    assert f'id="error-{missing.id}"' in page
    assert page.count(" checked>") == 1


def test_the_page_never_names_the_owner(client: Client, scene: Scene, offer: Offer):
    page = _text(client.get(_address(offer)))

    assert scene.job.customer.name not in page
    assert scene.job.customer.phone_typed not in page
