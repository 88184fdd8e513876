"""Signing in and out."""

from datetime import datetime, timedelta

import pytest
import time_machine
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from shopfloor.workshop.models import Person
from tests.factories import NOON, PASSWORD


def test_a_name_in_other_capitals_signs_in(otto: Person) -> None:
    answer = Client().post(reverse("sign-in"), {"username": "OTTO", "password": PASSWORD})

    assert answer.status_code == 302
    assert answer["Location"] == "/board/"


def test_a_wrong_password_keeps_the_name_and_not_the_password(otto: Person) -> None:
    answer = Client().post(reverse("sign-in"), {"username": "otto", "password": "wrong-one"})

    assert answer.status_code == 422
    assert "do not go together" in answer.text
    assert 'value="otto"' in answer.text
    assert "wrong-one" not in answer.text


def test_an_unknown_name_gets_the_same_sentence(otto: Person) -> None:
    answer = Client().post(reverse("sign-in"), {"username": "nobody", "password": "wrong-one"})

    assert "do not go together" in answer.text


def test_an_empty_form_says_what_is_missing(db: None) -> None:
    answer = Client().post(reverse("sign-in"), {})

    assert answer.status_code == 422
    assert "Write the name you sign in with." in answer.text
    assert "Write your password." in answer.text


@pytest.mark.parametrize(
    ("wanted", "goal"),
    [
        ("/outbox/", "/outbox/"),
        ("https://elsewhere.example.org/", "/board/"),
        ("//x.y/", "/board/"),
    ],
)
def test_one_is_led_to_own_pages_only(otto: Person, wanted: str, goal: str) -> None:
    form = {"username": "otto", "password": PASSWORD, "next": wanted}

    assert Client().post(reverse("sign-in"), form)["Location"] == goal


def test_signing_out_takes_a_form(desk: Client) -> None:
    assert desk.get(reverse("sign-out")).status_code == 405

    desk.post(reverse("sign-out"))

    assert desk.get(reverse("board")).status_code == 302


def test_the_front_door_leads_to_the_board(desk: Client) -> None:
    assert desk.get("/")["Location"] == "/board/"


def test_the_health_page_asks_the_database(db: None) -> None:
    assert Client().get("/healthz").text == "ok"


def _try(password: str, at: datetime) -> HttpResponse:
    with time_machine.travel(at, tick=False):
        return Client().post(reverse("sign-in"), {"username": "otto", "password": password})


def test_somebody_who_guesses_has_to_wait(otto: Person) -> None:
    for _ in range(10):
        _try("wrong-one", NOON)

    refused = _try(PASSWORD, NOON)
    later = _try(PASSWORD, NOON + timedelta(minutes=6))

    assert refused.status_code == 422
    assert "Wait five minutes" in refused.text
    assert later.status_code == 302


def test_mistyping_now_and_then_does_not_add_up(otto: Person) -> None:
    for _ in range(3):
        for _ in range(9):
            _try("wrong-one", NOON)
        assert _try(PASSWORD, NOON).status_code == 302
