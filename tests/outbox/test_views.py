"""The outbox page: what is to be sent, from which the shop's phone takes it."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import Settings

from shopfloor.jobs.models import Job
from shopfloor.outbox.models import Message
from shopfloor.outbox.services import find_link, give_link, token_of
from shopfloor.workshop.models import Person
from tests.factories import NOON, make_job, make_message

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(otto: Person) -> Job:
    return make_job(workshop=otto.workshop)


def waiting(job: Job, body: str = "The Repair Room: your bike is ready.", **facts) -> Message:
    return make_message(job=job, state="to-send", body=body, **facts)


def test_a_text_shows_with_its_cost_and_its_ways_out(desk: Client, job: Job) -> None:
    link = give_link(job=job, purpose="sheet", subject=None, at=NOON, days=900)
    message = waiting(job, link=link)

    text = desk.get(reverse("outbox")).text

    assert "The Repair Room: your bike is ready." in text
    assert "36 characters in 1 text" in text
    assert f'href="sms:{message.to_e164}?&amp;body=The%20Repair%20Room%3A%20your' in text
    assert 'href="/s/' in text


def test_an_accent_that_halves_the_room_is_told(desk: Client, job: Job) -> None:
    waiting(job, body="Ready, Łukasz")

    assert "a letter in it halves the room" in desk.get(reverse("outbox")).text


def test_a_text_that_waits_for_its_hour_says_until_when(desk: Client, job: Job) -> None:
    make_message(job=job, not_before=NOON.replace(year=2126, hour=9))

    assert "not before Sat 2 March, 09:00" in desk.get(reverse("outbox")).text


def test_sent_is_noted_with_the_name_and_can_be_undone(desk: Client, job: Job) -> None:
    message = waiting(job)
    address = reverse("message-sent", args=[message.id])

    desk.post(address)
    message.refresh_from_db()
    assert (message.state, message.sent_by.name) == ("sent", "Otto")

    desk.post(address, {"undo": "1"})
    message.refresh_from_db()
    assert (message.state, message.sent_at) == ("to-send", None)


def test_what_was_cancelled_meanwhile_is_not_noted_as_sent(desk: Client, job: Job) -> None:
    message = make_message(job=job, state="cancelled")

    answer = desk.post(reverse("message-sent", args=[message.id]), follow=True)

    assert "is not waiting to be sent" in answer.text
    assert Message.objects.get().state == "cancelled"


def test_the_code_holds_the_text_for_a_phone_to_scan(desk: Client, job: Job) -> None:
    answer = desk.get(reverse("message-code", args=[waiting(job).id]))

    assert answer["Content-Type"] == "image/svg+xml"
    assert "<path" in answer.text


def test_a_text_that_was_sent_has_no_code_any_more(desk: Client, job: Job) -> None:
    message = make_message(job=job, state="sent", sent_at=NOON)

    assert desk.get(reverse("message-code", args=[message.id])).status_code == 404


def test_the_page_costs_the_same_for_many_texts(
    desk: Client, job: Job, django_assert_max_num_queries
) -> None:
    for position in range(20):
        waiting(job, not_before=NOON + timedelta(minutes=position))

    with django_assert_max_num_queries(8):
        desk.get(reverse("outbox"))


def test_a_link_outlives_the_key_it_was_made_with(job: Job, settings: Settings) -> None:
    link = give_link(job=job, purpose="sheet", subject=None, at=NOON, days=900)
    before = token_of(link)

    settings.SECRET_KEY, settings.SECRET_KEY_FALLBACKS = "another key", [settings.SECRET_KEY]

    assert token_of(link) == before
    assert find_link(token=before, purpose="sheet", at=NOON) == link
    fresh = give_link(job=job, purpose="offer", subject=job.id, at=NOON, days=5)
    assert find_link(token=token_of(fresh), purpose="offer", at=NOON) == fresh
