"""A bike taken in at the stand without signal becomes a job of the workshop, once."""

import json
import threading
import uuid
from datetime import datetime, timedelta
from typing import Any

import pytest
import rfc8785
from django.db import connection
from django.http import HttpResponse
from django.test import Client

from shopfloor.customers.models import Customer
from shopfloor.jobs.models import Job, StoredEntry
from shopfloor.jobs.routes import route_sha
from shopfloor.trade.route import compose
from shopfloor.trade.tables import CATALOGUE
from tests.factories import NOON, make_person, make_workshop, take_in
from tests.phone import Phone, enrol_phone

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("noon")]
TRAITS = {"kind": "city", "brakes": "rim"}


@pytest.fixture
def phone() -> Phone:
    shop = make_workshop(service_prices={"standard": 9500})
    return enrol_phone(person=make_person(workshop=shop, username="mira", role="mechanic"))


def walk_in(phone: Phone, /, **facts: Any) -> dict[str, Any]:
    steps = compose(TRAITS, "standard")
    return {
        "customer_name": "Jana Field",
        "phone": "07700 900123",
        "bike_words": "moss-green city bike",
        "traits": TRAITS,
        "service": "standard",
        "says": "The front light flickers.",
        "go_ahead_minor": 2000,
        "opened_at": (NOON - timedelta(hours=3)).isoformat(),
        "by": str(phone.person.id),
        "catalogue": CATALOGUE,
        "steps": steps,
    } | facts


def put(phone: Phone, body: Any, job: uuid.UUID | None = None) -> HttpResponse:
    raw = body if isinstance(body, bytes) else json.dumps(body).encode()
    headers = {"Authorization": f"Bearer {phone.token}"}
    address = f"/api/walk-ins/{job or uuid.uuid4()}"
    return Client().put(address, raw, content_type="application/json", headers=headers)


def opened(phone: Phone, /, **facts: Any) -> Job:
    job = uuid.uuid4()
    response = put(phone, walk_in(phone, **facts), job)
    assert response.status_code == 201, response.text
    return Job.objects.get(id=job)


def test_the_job_is_opened_under_the_phones_own_id(phone: Phone) -> None:
    job = uuid.uuid4()

    response = put(phone, walk_in(phone), job)

    assert response.status_code == 201
    assert response.json() == {"job": str(job), "number": "J-0001"}
    row = Job.objects.get()
    assert (row.customer.name, row.customer.phone_e164) == ("Jana Field", "+447700900123")
    assert (row.price_minor, row.go_ahead_minor) == (9500, 2000)
    assert row.opened_at == NOON - timedelta(hours=3)


def test_the_phone_learns_the_promise_by_the_next_sync(phone: Phone) -> None:
    job = opened(phone)

    answer = phone.sync()

    kinds = [row["entry"]["kind"] for row in answer["entries"]]
    assert kinds == ["opened", "promise"]
    assert {row["entry"]["by"] for row in answer["entries"]} == {str(phone.person.id)}
    assert answer["jobs"][0]["id"] == str(job.id)
    assert answer["jobs"][0]["promised_at"] is not None


def test_entries_of_the_job_are_taken_afterwards(phone: Phone) -> None:
    job = opened(phone)
    phone.tick(job, job.route[0]["key"])

    answer = phone.sync()

    assert answer["refused"] == []
    assert StoredEntry.objects.filter(job=job, kind="tick").count() == 1


def test_sending_it_again_changes_nothing(phone: Phone) -> None:
    job = opened(phone)

    again = put(phone, walk_in(phone, customer_name="Somebody Else"), job.id)

    assert (again.status_code, again.json()["number"]) == (200, job.tag)
    assert Customer.objects.get().name == "Jana Field"
    assert StoredEntry.objects.filter(kind="opened").count() == 1


@pytest.mark.django_db(transaction=True)
def test_the_same_walk_in_twice_at_once_is_one_job(phone: Phone) -> None:
    job, body, statuses = uuid.uuid4(), walk_in(phone), []
    start = threading.Barrier(4)

    def send() -> None:
        start.wait()
        statuses.append(put(phone, body, job).status_code)
        connection.close()

    threads = [threading.Thread(target=send) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert sorted(statuses) == [200, 200, 200, 201]
    assert Job.objects.get().number == 1
    assert Customer.objects.count() == 1
    assert sorted(StoredEntry.objects.values_list("seq", flat=True)) == [1, 2]


def test_numbers_have_no_gap_after_a_repetition(phone: Phone) -> None:
    first = opened(phone)
    put(phone, walk_in(phone), first.id)

    assert opened(phone).number == first.number + 1


def test_the_bike_of_a_known_customer_goes_to_that_customer(phone: Phone) -> None:
    first = take_in(by=make_person(workshop=phone.person.workshop))

    job = opened(phone, phone="+44 7700 900123")

    assert job.customer == first.customer
    assert job.bike != first.bike


@pytest.mark.parametrize("typed", ["ring the café", "", "077", "0" * 79])
def test_a_number_that_cannot_be_read_is_kept_as_typed(phone: Phone, typed: str) -> None:
    job = opened(phone, phone=typed)
    other = opened(phone, phone=typed)

    assert (job.customer.phone_typed, job.customer.phone_e164) == (typed, "")
    assert job.customer != other.customer


def test_a_number_that_takes_no_texts_is_no_hindrance(phone: Phone) -> None:
    assert opened(phone, phone="020 7946 0123").customer.phone_e164 == "+442079460123"


def test_the_same_route_is_the_servers_own(phone: Phone) -> None:
    job = opened(phone, catalogue="an older one")

    assert job.route == compose(TRAITS, "standard")
    assert job.catalogue == CATALOGUE


def test_a_route_by_an_older_catalogue_is_kept(phone: Phone) -> None:
    steps = compose(TRAITS, "standard")[:-1]

    job = opened(phone, steps=steps, catalogue="older")

    assert job.route == steps
    assert (job.route_sha, job.catalogue) == (route_sha(steps), "older")


def spoiled(**facts: Any) -> list[dict[str, Any]]:
    first, *rest = compose(TRAITS, "standard")
    return [first | facts, *rest]


@pytest.mark.parametrize(
    "steps",
    [
        None,
        [],
        spoiled(cautions="hot"),
        spoiled(minutes={"typical": 5}),
        spoiled(asks=[{"item": "x"}]),
        spoiled(key="a:b"),
        spoiled(why=None),
        spoiled(compound=[]),
        spoiled(title=["x"]),
        [*compose(TRAITS, "standard"), compose(TRAITS, "standard")[0]],
    ],
)
def test_a_route_that_cannot_be_shown_gives_way_to_the_servers_own(
    phone: Phone, steps: list[Any] | None
) -> None:
    job = opened(phone, steps=steps)

    assert job.route == compose(TRAITS, "standard")
    assert phone.sync()["jobs"][0]["route"] == job.route_sha


@pytest.mark.parametrize(
    "said",
    ["2031-01-01T00:00:00Z", "1970-01-01T00:00:00Z", NOON.replace(year=2025).isoformat()],
)
def test_a_clock_that_is_far_off_is_not_believed(phone: Phone, said: str) -> None:
    assert opened(phone, opened_at=said).opened_at == NOON


def test_a_shop_that_never_opens_takes_the_bike_in_without_a_promise(phone: Phone) -> None:
    phone.person.workshop.weekly_hours = {}
    phone.person.workshop.save()

    job = opened(phone)

    assert job.promised_at is None
    assert phone.sync()["jobs"][0]["promised_at"] is None


@pytest.mark.parametrize(
    ("facts", "code", "words"),
    [
        ({"customer_name": " "}, "not-clear", "Write the customer's name."),
        ({"bike_words": ""}, "not-clear", "Describe the bike"),
        ({"service": "deluxe"}, "not-clear", "Choose a service."),
        ({"customer_name": "x" * 81}, "not-clear", "at most 80 letters"),
        ({"phone": "0" * 81}, "not-clear", "at most 80 signs"),
        ({"says": "x" * 2001}, "not-clear", "at most 2000 letters"),
        ({"go_ahead_minor": -1}, "not-clear", "Write it anew"),
        ({"go_ahead_minor": "a lot"}, "not-clear", "Write it anew"),
        ({"traits": {}}, "unknown-trait", "which kind of bike"),
        ({"traits": {"kind": "tank"}}, "unknown-trait", "tank"),
        ({"traits": {"kind": ["city"]}}, "unknown-trait", "city"),
        ({"traits": {"kind": "city", "sprockets": 99}}, "unknown-trait", "99"),
        ({"traits": "city"}, "not-clear", "did not say: traits"),
        ({"by": str(uuid.uuid4())}, "unknown-person", "Choose who works"),
        ({"by": "me"}, "not-clear", "did not say: by"),
        ({"opened_at": "yesterday"}, "not-clear", "did not say: opened_at"),
        ({"steps": [1, 2]}, "not-clear", "did not say: steps"),
        ({"steps": [{}] * 401}, "not-clear", "did not say: steps"),
        ({"says": "a\x00b"}, "bad-text", "cannot be kept"),
        ({"go_ahead_minor": 10**400}, "bad-number", "cannot be kept"),
    ],
)
def test_what_cannot_be_opened_is_refused_in_words(
    phone: Phone, facts: dict[str, Any], code: str, words: str
) -> None:
    response = put(phone, walk_in(phone, **facts))

    assert response.status_code == 422
    assert response.json()["code"] == code
    assert words in response.json()["message"]
    assert not Job.objects.exists()


@pytest.mark.parametrize(
    "raw",
    [
        b"",
        b"[]",
        b"null",
        b"{",
        b'"x"',
        b"\xff\xfe",
        b'{"says": ' + b"[" * 100_000,
        b"x" * 9_000_000,
    ],
)
def test_a_body_that_is_none_is_refused_in_words(phone: Phone, raw: bytes) -> None:
    response = put(phone, raw)

    assert response.status_code == 400
    assert response.json()["message"]


def test_half_a_letter_is_refused_in_words(phone: Phone) -> None:
    raw = json.dumps(walk_in(phone, says="?")).replace('"?"', r'"\ud800"').encode()

    assert put(phone, raw).status_code == 422


def test_only_what_is_known_of_bikes_is_kept(phone: Phone) -> None:
    job = opened(phone, traits=TRAITS | {"colour": "green", "rotor": None})

    assert "colour" not in job.bike.traits
    assert "rotor" not in job.bike.traits
    assert rfc8785.dumps(job.bike.traits)


def test_a_job_of_another_workshop_is_not_touched(phone: Phone) -> None:
    other = take_in(by=make_person(workshop=make_workshop(name="Elsewhere"), username="sam"))

    response = put(phone, walk_in(phone), other.id)

    assert (response.status_code, response.json()["code"]) == (422, "id-reused")
    assert "Elsewhere" not in response.text


def test_a_phone_that_is_signed_out_opens_nothing(phone: Phone) -> None:
    phone.token = "unknown"

    assert put(phone, walk_in(phone)).status_code == 401
    assert not Job.objects.exists()


def test_an_entry_that_comes_before_its_walk_in_is_taken_later(phone: Phone) -> None:
    job = uuid.uuid4()
    phone.tick(job, "identify")  # type: ignore[arg-type]
    assert phone.sync()["refused"][0]["code"] == "unknown-job"

    put(phone, walk_in(phone), job)

    assert phone.sync()["refused"] == []


def test_the_moment_is_the_shops_not_the_phones(phone: Phone) -> None:
    opened(phone)

    rows = StoredEntry.objects.values_list("received_at", flat=True)
    assert set(rows) == {NOON}
    assert isinstance(NOON, datetime)
