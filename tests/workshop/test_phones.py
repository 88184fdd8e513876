"""The desk's page of phones: what each told last, a code for one more, and letting one go."""

import re
import uuid
from datetime import timedelta
from typing import Any

import pytest
import time_machine
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shopfloor.workshop.enrolment import enrol_by_code, make_code, secret_of
from shopfloor.workshop.models import Device, EnrolCode, Person
from tests.factories import NOON, make_job, make_person
from tests.phone import Phone, enrol_phone

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("noon")]
HTMX = {"HX-Request": "true"}


@pytest.fixture
def mira(otto: Person) -> Person:
    return make_person(workshop=otto.workshop, username="mira", role="mechanic")


@pytest.fixture
def phone(mira: Person) -> Phone:
    return enrol_phone(person=mira, name="The grey phone")


def card(desk: Client, device: Device) -> str:
    """What the page says of one phone, in one line of words."""
    page = desk.get(reverse("phones")).text
    html = page.partition(f'id="phone-{device.id}"')[2].partition("</li>")[0]
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def unsent(**facts: Any) -> dict[str, Any]:
    return {"entries": 0, "photos": 0, "walk_ins": 0, "oldest_at": None} | facts


def make(desk: Client, **facts: str) -> EnrolCode:
    answer = desk.post(reverse("phones"), {"name": "Stand 1"} | facts)
    assert answer.status_code == 302, answer.text
    return EnrolCode.objects.latest("made_at")


def use(code: EnrolCode) -> Device:
    return enrol_by_code(
        secret=secret_of(code), former=[], attempt=None, tried_from="", at=timezone.now()
    ).device


def test_before_the_first_phone_the_page_says_what_to_do(desk: Client) -> None:
    assert "No phone works with this workshop yet." in desk.get(reverse("phones")).text


def test_the_page_of_the_workshop_leads_there(desk: Client, phone: Phone) -> None:
    page = desk.get(reverse("workshop")).text

    assert "1 phone works with this workshop." in page
    assert reverse("phones") in page


def test_a_phone_tells_whose_it_is_and_when_it_was_heard(desk: Client, phone: Phone) -> None:
    phone.sync()

    with time_machine.travel(NOON + timedelta(minutes=5), tick=False):
        said = card(desk, phone.device)

    assert "The grey phone" in said
    assert "signed in by Mira" in said
    assert "5 min ago" in said
    assert "All sent" in said


def test_a_phone_enrolled_by_a_code_is_everybodys(desk: Client) -> None:
    assert "for everybody" in card(desk, use(make(desk)))


def test_what_waits_on_a_phone_is_said_as_it_told(desk: Client, phone: Phone) -> None:
    phone.sync(unsent=unsent(entries=3, photos=1, oldest_at="2026-03-02T09:15:00Z"))

    said = card(desk, phone.device)

    assert "3 entries not sent" in said
    assert "1 photo not sent" in said
    assert "The oldest was written Mon 2 Mar, 09:15." in said
    assert "missing" not in said


def test_entries_known_to_be_missing_are_named_as_such(desk: Client, phone: Phone) -> None:
    phone.write(make_job(workshop=phone.person.workshop), "note", {"text": "one"})
    phone.n = 3
    phone.sync()

    assert "2 entries are known to be missing" in card(desk, phone.device)


def test_a_number_that_arrived_twice_hides_none_that_is_missing(
    desk: Client, phone: Phone, mira: Person
) -> None:
    job = make_job(workshop=mira.workshop)
    first = phone.write(job, "note", {"text": "one"})
    phone.sync()
    phone.sync([first | {"id": str(uuid.uuid4())}], last_n=3)

    assert "2 entries are known to be missing" in card(desk, phone.device)


def test_what_was_refused_and_taken_later_hides_none_that_is_missing(
    desk: Client, phone: Phone, mira: Person
) -> None:
    job = make_job(workshop=mira.workshop)
    written = [phone.write(job, "note", {"text": "text"}) for _n in range(3)]
    first, second = written[0], written[1]
    strangers = [entry | {"job": str(uuid.uuid4())} for entry in (first, second)]
    phone.sync(strangers, last_n=3)
    assert "1 entry is known to be missing" in card(desk, phone.device)

    phone.sync([first], last_n=3)

    assert "1 entry is known to be missing" in card(desk, phone.device)


@pytest.mark.parametrize(
    ("storage", "words"),
    [("protected", "Storage protected"), ("not protected", "the browser may clear it")],
)
def test_a_phone_tells_whether_its_storage_is_safe(
    desk: Client, phone: Phone, storage: str, words: str
) -> None:
    phone.sync(storage=storage, app="0123abcd")

    said = card(desk, phone.device)

    assert words in said
    assert "Bench 0123abcd" in said


@pytest.mark.parametrize(
    ("off", "words"),
    [
        (timedelta(minutes=14), "Clock 14 min ahead"),
        (timedelta(hours=-2), "Clock 2 h behind"),
        (timedelta(days=366), "ahead"),
    ],
)
def test_a_clock_that_is_off_is_said(
    desk: Client, phone: Phone, off: timedelta, words: str
) -> None:
    phone.sync(sent_at=(NOON + off).isoformat())

    assert words in card(desk, phone.device)


def test_a_clock_that_is_nearly_right_is_no_news(desk: Client, phone: Phone) -> None:
    phone.sync(sent_at=(NOON + timedelta(seconds=110)).isoformat())

    assert "Clock" not in card(desk, phone.device)


def test_the_list_needs_no_query_for_each_phone(
    desk: Client, mira: Person, django_assert_max_num_queries: Any
) -> None:
    for n in range(12):
        enrol_phone(person=mira, name=f"Phone {n}")

    with django_assert_max_num_queries(8):
        desk.get(reverse("phones"))


def test_a_phone_is_signed_out_and_then_given_up(desk: Client, phone: Phone) -> None:
    phone.n = 2
    phone.sync()

    said = desk.post(reverse("workshop-phone", args=[phone.device.id]), follow=True).text
    assert "The grey phone is signed out." in said
    assert phone.post(phone.ask()).status_code == 401
    assert "It is gone for good" in card(desk, phone.device)

    said = desk.post(reverse("workshop-phone-loss", args=[phone.device.id]), follow=True).text
    assert "Look over the bikes it worked on" in said
    assert "Given up 2 March 2026" in card(desk, phone.device)


def test_a_phone_that_may_still_speak_is_not_given_up(desk: Client, phone: Phone) -> None:
    answer = desk.post(reverse("workshop-phone-loss", args=[phone.device.id]), follow=True)

    assert "Sign it out first." in answer.text
    assert Device.objects.get(pk=phone.device.pk).written_off_at is None


def test_a_code_is_shown_as_a_picture_as_an_address_and_to_type(desk: Client) -> None:
    code = make(desk)

    answer = desk.get(reverse("phone-code", args=[code.id]))

    secret = secret_of(code)
    assert answer.text.count("<svg") > 1
    assert f"/bench/enrol#{secret}" in answer.text
    assert f"{secret[:4]} {secret[4:8]}" in answer.text
    assert "Good for another 10 minutes" in answer.text
    assert "no-store" in answer["Cache-Control"]


def test_the_page_asks_again_by_an_address_without_the_secret(desk: Client) -> None:
    code = make(desk)

    page = desk.get(reverse("phone-code", args=[code.id])).text

    asked = re.search(r'hx-get="([^"]+)" hx-trigger="every 2s"', page)
    assert asked is not None
    assert secret_of(code) not in asked[1]
    piece = desk.get(asked[1], headers=HTMX).text
    assert piece.lstrip().startswith('<div id="code"')


def test_the_page_says_when_the_phone_has_come_and_asks_no_more(desk: Client) -> None:
    code = make(desk)
    use(code)

    piece = desk.get(reverse("phone-code", args=[code.id]), headers=HTMX).text

    assert "Stand 1 is ready." in piece
    assert "hx-get" not in piece
    assert secret_of(code) not in piece


def test_a_code_that_has_run_out_offers_a_new_one(desk: Client, phone: Phone) -> None:
    code = make(desk, replaces=str(phone.device.id))

    with time_machine.travel(NOON + timedelta(minutes=11), tick=False):
        piece = desk.get(reverse("phone-code", args=[code.id]), headers=HTMX).text

    assert "not good any more" in piece
    assert secret_of(code) not in piece
    assert "hx-get" not in piece
    assert 'name="name" value="Stand 1"' in piece
    assert f'name="replaces" value="{phone.device.id}"' in piece


def test_in_the_last_minute_it_is_still_said_in_minutes(desk: Client) -> None:
    code = make(desk)

    with time_machine.travel(NOON + timedelta(minutes=9, seconds=40), tick=False):
        assert "Good for another minute" in desk.get(reverse("phone-code", args=[code.id])).text


def test_a_phone_that_takes_anothers_place_is_announced(desk: Client, phone: Phone) -> None:
    code = make(desk, replaces=str(phone.device.id))

    page = desk.get(reverse("phone-code", args=[code.id])).text
    assert "“The grey phone” is signed out" in page

    use(code)
    assert "Goes on as Stand 1" in card(desk, phone.device)


def test_an_address_no_phone_can_reach_is_said(desk: Client, settings: Any) -> None:
    code = make(desk)
    here = desk.get(reverse("phone-code", args=[code.id])).text

    settings.SECURE, settings.BASE_URL = True, "https://shop.example.org"
    there = desk.get(reverse("phone-code", args=[code.id])).text

    assert "SHOPFLOOR_BASE_URL" in here
    assert "SHOPFLOOR_BASE_URL" not in there
    assert "https://shop.example.org/bench/enrol#" in there


@pytest.mark.parametrize(
    ("facts", "sentence"),
    [
        ({"name": ""}, "Fill this in."),
        ({"name": "x" * 61}, "at most 60 letters"),
        ({"replaces": "nonsense"}, "Choose one of the list."),
        ({"replaces": "00000000-0000-4000-8000-000000000000"}, "Choose one of the list."),
    ],
)
def test_a_phone_that_cannot_be_added_keeps_what_was_typed(
    desk: Client, facts: dict[str, str], sentence: str
) -> None:
    answer = desk.post(reverse("phones"), {"name": "Stand 1"} | facts)

    assert answer.status_code == 422
    assert sentence in answer.text
    assert f'value="{facts.get("name", "Stand 1")}"' in answer.text or facts.get("name") == ""
    assert not EnrolCode.objects.exists()


def test_a_mechanic_is_told_who_makes_codes(mira: Person, otto: Person) -> None:
    code = make_code(workshop=otto.workshop, name="Stand 1", replaces=None, by=otto, at=NOON)
    client = Client()
    client.force_login(mira)

    for answer in (
        client.get(reverse("phones")),
        client.post(reverse("phones"), {"name": "Mine"}),
        client.get(reverse("phone-code", args=[code.id])),
    ):
        assert answer.status_code == 403
        assert "Ask Otto" in answer.text
        assert secret_of(code) not in answer.text
    assert EnrolCode.objects.count() == 1


def test_until_a_phone_has_come_the_board_leads_there(desk: Client) -> None:
    assert reverse("phones") in desk.get(reverse("board")).text

    use(make(desk))

    assert reverse("phones") not in desk.get(reverse("board")).text
