"""Otto at the desk on a Monday at noon, with one job of Jana's taken in this morning."""

from datetime import timedelta

import pytest

from shopfloor.jobs.models import Job
from shopfloor.workshop.models import Person
from tests.factories import NOON, make_person, make_workshop, take_in
from tests.phone import Phone, enrol_phone


@pytest.fixture(autouse=True)
def _noon(noon: None) -> None:
    """For every test in this folder."""


@pytest.fixture
def mira(otto: Person) -> Person:
    return make_person(workshop=otto.workshop, username="mira", role="mechanic")


@pytest.fixture
def sam(db: None) -> Person:
    return make_person(workshop=make_workshop(name="Elsewhere"), username="sam")


@pytest.fixture
def job(otto: Person) -> Job:
    return take_in(by=otto, at=NOON - timedelta(hours=2))


@pytest.fixture
def phone(mira: Person) -> Phone:
    return enrol_phone(person=mira, name="Mira's phone")


@pytest.fixture
def finding(job: Job, phone: Phone) -> str:
    """The lamp's cable is bare; a part that is not in stock."""
    body = {
        "title": "Renew the lamp cable",
        "reason": "The cable is bare at the stay.",
        "minutes": 20,
        "parts": [{"name": "Lamp cable", "price_minor": 600, "in_stock": False}],
        "safety": False,
    }
    entry_id = str(phone.write(job, "finding", body)["id"])
    phone.sync()
    job.refresh_from_db()
    return entry_id
