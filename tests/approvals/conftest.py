"""A job of Jana's with two findings from the bench, one of them about safety."""

from dataclasses import dataclass

import pytest

from shopfloor.approvals.services import Wanted
from shopfloor.jobs.models import Job
from shopfloor.workshop.models import Person
from tests.factories import make_job, make_person, make_workshop
from tests.phone import Phone, enrol_phone
from tests.routes import short_route


@dataclass
class Scene:
    """Everybody and everything an offer needs."""

    job: Job
    otto: Person
    phone: Phone
    pads: Wanted
    lamp: Wanted


@pytest.fixture
def scene(db: None) -> Scene:
    job = make_job(workshop=make_workshop(), route=short_route())
    otto = make_person(workshop=job.workshop)
    phone = enrol_phone(person=make_person(workshop=job.workshop, username="mira", role="mechanic"))
    wanted = [
        _wanted(phone, job, "Renew the brake pads", safety=True),
        _wanted(phone, job, "Renew the lamp cable", safety=False),
    ]
    phone.sync()
    job.refresh_from_db()
    return Scene(job, otto, phone, *wanted)


def _wanted(phone: Phone, job: Job, title: str, *, safety: bool) -> Wanted:
    body = {"title": title, "reason": "Worn", "minutes": 20, "parts": [], "safety": safety}
    entry = phone.write(job, "finding", body)
    return Wanted(
        finding=entry["id"], title=title, reason="Worn", minutes=20, parts=[], safety=safety
    )
