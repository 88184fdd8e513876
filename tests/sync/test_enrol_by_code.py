"""A code from the desk makes one phone a device of the workshop: once, soon, and in secret."""

import logging
import threading
import uuid
from datetime import datetime, timedelta
from typing import Any

import pytest
import time_machine
from django.db import connection
from django.http import HttpResponse
from django.test import Client

from shopfloor.workshop.enrolment import (
    HOLDS,
    TRIES,
    TRIES_COUNT_FOR,
    address_of,
    enrol_own,
    grouped,
    make_code,
    secret_of,
)
from shopfloor.workshop.models import Device, EnrolCode, Person, WrongCode, token_hash
from tests.factories import NOON, make_job, make_person, make_workshop
from tests.phone import Phone, enrol_phone

pytestmark = pytest.mark.django_db


@pytest.fixture
def otto() -> Person:
    return make_person(workshop=make_workshop())


@pytest.fixture
def code(otto: Person) -> EnrolCode:
    return make_code(workshop=otto.workshop, name="Stand 1", replaces=None, by=otto, at=NOON)


def show(secret: str, *, at: datetime = NOON, **facts: Any) -> HttpResponse:
    """As a phone that has scanned the code, in a browser that knows nobody."""
    headers = facts.pop("headers", {})
    with time_machine.travel(at, tick=False):
        return Client().post(
            "/api/devices",
            {"secret": secret, **facts},
            content_type="application/json",
            headers=headers,
        )


def test_a_phone_that_shows_the_code_becomes_a_named_device(code: EnrolCode) -> None:
    response = show(secret_of(code))

    said = response.json()
    device = Device.objects.get(id=said["device"])
    assert response.status_code == 201
    assert (device.name, device.workshop, device.person) == ("Stand 1", code.workshop, None)
    assert device.token_hash == token_hash(said["token"])
    assert said["workshop"] == str(code.workshop_id)
    assert (said["workshop_name"], said["person"]) == ("The Repair Room", None)
    assert said["epoch"] == str(code.workshop.epoch)
    assert said["lost"] == {"entries": 0, "photos": 0}
    assert "no-store" in response["Cache-Control"]


def test_such_a_phone_may_sync(code: EnrolCode, otto: Person) -> None:
    said = show(secret_of(code)).json()
    job = make_job(workshop=otto.workshop)

    phone = Phone(device=Device.objects.get(id=said["device"]), token=said["token"], person=otto)
    phone.write(job, "note", {"text": "one"})

    assert phone.sync()["refused"] == []


def test_the_secret_is_long_stored_nowhere_and_sent_to_no_server(code: EnrolCode) -> None:
    secret = secret_of(code)

    assert len(secret) * 5 >= 128
    assert secret not in str(EnrolCode.objects.values().get())
    assert address_of(code).partition("#")[2] == secret
    assert secret not in address_of(code).partition("#")[0]


def test_no_log_tells_the_secret(code: EnrolCode, caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.DEBUG):
        show(secret_of(code))
        show(secret_of(code))
        show("x" * 26)

    assert caplog.text
    assert secret_of(code) not in caplog.text
    assert "x" * 26 not in caplog.text


def test_two_codes_have_nothing_in_common(otto: Person) -> None:
    made = [
        make_code(workshop=otto.workshop, name=f"Stand {n}", replaces=None, by=otto, at=NOON)
        for n in range(50)
    ]

    assert len({secret_of(code) for code in made}) == 50


@pytest.mark.parametrize("how", [str.upper, lambda text: text.replace("0", "O").replace("1", "l")])
def test_a_code_may_be_typed_in_groups_and_capitals(code: EnrolCode, how: Any) -> None:
    assert show(how(grouped(code))).status_code == 201


def test_a_code_is_for_one_phone(code: EnrolCode) -> None:
    show(secret_of(code), attempt=str(uuid.uuid4()))

    second = show(secret_of(code), attempt=str(uuid.uuid4()))

    assert second.status_code == 410
    assert second.json()["code"] == "used-code"
    assert "used for “Stand 1”" in second.json()["message"]
    assert Device.objects.filter(kind="phone").count() == 1


def test_without_a_name_for_the_attempt_nobody_gets_a_second_answer(code: EnrolCode) -> None:
    show(secret_of(code))

    assert show(secret_of(code)).status_code == 410


def test_a_phone_whose_answer_was_lost_may_ask_again(code: EnrolCode) -> None:
    attempt = str(uuid.uuid4())
    first = show(secret_of(code), attempt=attempt).json()

    again = show(secret_of(code), attempt=attempt).json()

    assert again["device"] == first["device"]
    assert Device.objects.get(id=again["device"]).token_hash == token_hash(again["token"])
    assert Device.objects.filter(kind="phone").count() == 1


def test_a_code_holds_for_ten_minutes(code: EnrolCode) -> None:
    late = show(secret_of(code), at=NOON + HOLDS)

    assert (late.status_code, late.json()["code"]) == (410, "expired-code")
    assert show(secret_of(code), at=NOON + HOLDS - timedelta(seconds=1)).status_code == 201


def test_a_new_code_for_the_same_phone_ends_the_one_before(code: EnrolCode, otto: Person) -> None:
    again = make_code(workshop=otto.workshop, name="Stand 1", replaces=None, by=otto, at=NOON)

    assert show(secret_of(code)).json()["code"] == "expired-code"
    assert show(secret_of(again)).status_code == 201


@pytest.mark.parametrize("secret", ["x", "0" * 26, "' OR 1=1", "#", "ſ" * 26])
def test_a_code_that_is_none_is_told_so(code: EnrolCode, secret: str) -> None:
    answer = show(secret)

    assert (answer.status_code, answer.json()["code"]) == (404, "unknown-code")
    assert "Make a new one at the desk" in answer.json()["message"]


@pytest.mark.parametrize(
    "facts",
    [
        {"secret": "x" * 101},
        {"secret": 5.5, "former": "all"},
        {"secret": "x", "former": ["me"]},
        {"secret": "x", "former": [str(uuid.uuid4())] * 51},
        {"secret": "x", "attempt": "first"},
        {"secret": "a\x00b"},
        {"secret": ["x"]},
    ],
)
def test_what_cannot_be_read_is_refused_in_words(facts: dict[str, Any]) -> None:
    answer = Client().post("/api/devices", facts, content_type="application/json")

    assert answer.status_code == 400
    assert answer.json()["message"].endswith(".")


def test_who_guesses_has_to_wait(code: EnrolCode) -> None:
    for _ in range(TRIES):
        assert show("wrong").status_code == 404

    guessed = show(secret_of(code))
    later = show(secret_of(code), at=NOON + TRIES_COUNT_FOR + timedelta(seconds=1))

    assert (guessed.status_code, guessed.json()["code"]) == (429, "too-many-tries")
    assert "Wait five minutes" in guessed.json()["message"]
    assert later.status_code == 201


def test_what_no_longer_counts_is_not_kept(code: EnrolCode) -> None:
    show("wrong")
    show("wrong", at=NOON + TRIES_COUNT_FOR + timedelta(seconds=1))

    assert WrongCode.objects.count() == 1


def test_behind_a_proxy_each_phone_has_its_own_tries(code: EnrolCode, settings: Any) -> None:
    settings.SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    for _ in range(TRIES):
        show("wrong", headers={"X-Forwarded-For": "198.51.100.1, 203.0.113.7"})

    same = show("wrong", headers={"X-Forwarded-For": "made up, 203.0.113.7"})
    other = show("wrong", headers={"X-Forwarded-For": "203.0.113.7, 203.0.113.8"})

    assert (same.status_code, other.status_code) == (429, 404)


def test_without_a_proxy_nobody_hides_behind_a_header(code: EnrolCode) -> None:
    for n in range(TRIES):
        show("wrong", headers={"X-Forwarded-For": f"203.0.113.{n}"})

    assert show("wrong").status_code == 429


@pytest.mark.django_db(transaction=True)
def test_two_phones_at_once_do_not_share_a_code(code: EnrolCode) -> None:
    start, statuses = threading.Barrier(4), []
    secret = secret_of(code)

    def scan() -> None:
        start.wait()
        response = Client().post(
            "/api/devices",
            {"secret": secret, "attempt": str(uuid.uuid4())},
            content_type="application/json",
        )
        statuses.append(response.status_code)
        connection.close()

    with time_machine.travel(NOON, tick=False):
        threads = [threading.Thread(target=scan) for _ in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()

    assert sorted(statuses) == [201, 410, 410, 410]
    assert Device.objects.filter(kind="phone").count() == 1


def test_a_phone_in_the_place_of_a_lost_one_signs_that_out(otto: Person) -> None:
    lost = enrol_phone(person=otto, name="The grey phone")
    lost.write(make_job(workshop=otto.workshop), "note", {"text": "kept"})
    lost.n = 4
    lost.sync(unsent={"entries": 1, "photos": 2, "walk_ins": 0, "oldest_at": None})
    code = make_code(workshop=otto.workshop, name="Stand 1", replaces=lost.device, by=otto, at=NOON)

    said = show(secret_of(code)).json()

    lost.device.refresh_from_db()
    assert lost.device.revoked_at == NOON
    assert Device.objects.get(id=said["device"]).former == [str(lost.device.id)] == said["former"]
    assert said["lost"] == {"entries": 3, "photos": 2}


def test_what_it_says_it_has_been_is_kept_with_all_that_was_before(
    code: EnrolCode, otto: Person
) -> None:
    first = enrol_phone(person=otto).device
    second = enrol_own(person=otto, name="", at=NOON, former=[first.id]).device

    said = show(secret_of(code), former=[str(second.id), str(uuid.uuid4())]).json()

    former = Device.objects.get(id=said["device"]).former
    assert former == sorted([str(first.id), str(second.id)])
    second.refresh_from_db()
    assert second.revoked_at is None


def test_a_phone_of_another_workshop_is_nobody_here(code: EnrolCode) -> None:
    sam = make_person(workshop=make_workshop(name="Elsewhere"), username="sam")
    elsewhere = enrol_phone(person=sam).device

    said = show(secret_of(code), former=[str(elsewhere.id)]).json()

    assert Device.objects.get(id=said["device"]).former == []


def test_what_a_former_phone_kept_is_taken_from_the_new_one(code: EnrolCode, otto: Person) -> None:
    job = make_job(workshop=otto.workshop)
    before = enrol_phone(person=otto)
    before.write(job, "note", {"text": "kept without signal"})
    said = show(secret_of(code), former=[str(before.device.id)]).json()

    now = Phone(device=Device.objects.get(id=said["device"]), token=said["token"], person=otto)

    assert now.sync(before.kept)["refused"] == []
