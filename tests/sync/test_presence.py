"""What phones tell of themselves: the job they have open, what waits on them, how they are."""

from datetime import timedelta
from typing import Any

import pytest
import time_machine

from shopfloor.jobs.models import Job
from shopfloor.workshop.models import Device
from shopfloor.workshop.services import revoke_device
from tests.factories import NOON, make_job, make_person, make_workshop
from tests.phone import Phone, enrol_phone

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("noon")]


@pytest.fixture
def job() -> Job:
    return make_job(workshop=make_workshop())


@pytest.fixture
def phone(job: Job) -> Phone:
    return enrol_phone(person=make_person(workshop=job.workshop), name="Bay 1")


@pytest.fixture
def other(phone: Phone) -> Phone:
    return enrol_phone(person=phone.person, name="Bay 2")


def shows(phone: Phone, job: Job) -> dict[str, Any]:
    return {"job": str(job.pk), "by": str(phone.person.pk)}


def test_other_phones_hear_who_has_a_job_open(phone: Phone, other: Phone, job: Job) -> None:
    own = phone.sync(open=shows(phone, job))

    told = other.sync()["others"]

    assert own["others"] == []
    assert told == [shows(phone, job) | {"device": "Bay 1", "at": "2026-03-02T12:00:00.000Z"}]


def test_a_job_that_was_closed_again_is_told_no_more(phone: Phone, other: Phone, job: Job) -> None:
    phone.sync(open=shows(phone, job))
    phone.sync(open=None)

    assert other.sync()["others"] == []


@pytest.mark.parametrize(("minutes", "told"), [(14, 1), (15, 0)])
def test_what_was_heard_a_quarter_of_an_hour_ago_is_told_no_more(
    phone: Phone, other: Phone, job: Job, minutes: int, told: int
) -> None:
    phone.sync(open=shows(phone, job))

    with time_machine.travel(NOON + timedelta(minutes=minutes), tick=False):
        assert len(other.sync()["others"]) == told


def test_a_phone_that_was_signed_out_has_nothing_open(phone: Phone, other: Phone, job: Job) -> None:
    phone.sync(open=shows(phone, job))
    revoke_device(device=phone.device, at=NOON)

    assert other.sync()["others"] == []


def test_another_workshop_hears_nothing(phone: Phone, job: Job) -> None:
    sam = make_person(workshop=make_workshop(name="Elsewhere"), username="sam")
    phone.sync(open=shows(phone, job))

    assert enrol_phone(person=sam).sync()["others"] == []


def test_nobody_need_be_at_work_on_an_open_job(phone: Phone, other: Phone, job: Job) -> None:
    phone.sync(open={"job": str(job.pk), "by": None})

    assert [row["by"] for row in other.sync()["others"]] == [None]


def test_the_desk_learns_what_waits_on_a_phone_and_how_it_is(phone: Phone) -> None:
    unsent = {"entries": 3, "photos": 1, "walk_ins": 0, "oldest_at": "2026-03-02T09:00:00Z"}

    phone.sync(unsent=unsent, storage="protected", app="0.2 (4f1c)", last_n=7)

    row = Device.objects.get(pk=phone.device.pk)
    assert row.unsent == unsent | {"oldest_at": "2026-03-02T09:00:00+00:00"}
    assert (row.storage, row.app, row.last_n, row.seen_at) == ("protected", "0.2 (4f1c)", 7, NOON)


def test_a_count_that_comes_late_does_not_lower_what_is_known(phone: Phone) -> None:
    phone.sync(last_n=9)
    phone.sync(last_n=7)

    assert Device.objects.get(pk=phone.device.pk).last_n == 9


@pytest.mark.parametrize(
    "facts",
    [
        {"storage": "maybe"},
        {"unsent": {"entries": -1, "photos": 0, "walk_ins": 0, "oldest_at": None}},
        {"unsent": 3},
        {"open": {"job": "x", "by": None}},
        {"app": "x" * 41},
    ],
)
def test_what_a_phone_tells_amiss_is_a_400_in_words(phone: Phone, facts: dict[str, Any]) -> None:
    response = phone.post(phone.ask([], **facts))

    assert response.status_code == 400
    assert next(iter(facts)) in response.json()["message"]
