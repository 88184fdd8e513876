"""What agreed work brings into the route, and what of it is open again."""

from datetime import timedelta

import pytest

from shopfloor.approvals import answering, services
from shopfloor.approvals.services import Wanted
from shopfloor.jobs.models import Job
from shopfloor.jobs.queries import progress_of, state_of
from shopfloor.journal.progress import full_route
from tests.factories import NOON, make_person, make_workshop, take_in
from tests.phone import Phone, enrol_phone


@pytest.fixture
def phone(db: None) -> Phone:
    mira = make_person(workshop=make_workshop(), username="mira", role="mechanic")
    return enrol_phone(person=mira)


def agree(phone: Phone, job: Job, task: str) -> Job:
    """The customer says yes to one task from the workshop's list."""
    body = {"title": task, "reason": "Worn", "minutes": 40, "parts": [], "safety": True}
    finding = phone.write(job, "finding", {**body, "task": task})["id"]
    phone.sync()
    wanted = Wanted(finding, task, "Worn", minutes=40, parts=[], safety=True, task=task)
    otto = make_person(workshop=job.workshop)
    offer = services.make_offer(job=job, wanted=[wanted], by=otto, at=NOON)
    answering.answer_offer(
        offer=offer,
        version=1,
        decisions={str(line.id): "yes" for line in offer.lines.all()},
        channel="link",
        words="Jana",
        at=NOON + timedelta(hours=1),
    )
    job.refresh_from_db()
    return job


def test_a_safety_check_is_given_what_the_new_work_undoes(phone: Phone) -> None:
    traits = {"kind": "road"}
    job = take_in(by=phone.person, service="safety", traits=traits, go_ahead_minor=0)
    before = {step["key"] for step in job.route}

    job = agree(phone, job, "bottom-bracket-bearings")

    keys = [step["key"] for step in full_route(job.route, state_of(job))]
    assert not before & {"crank_fit", "index_front"}
    assert keys.index("crank_fit") < keys.index("index_front") < keys.index("final_check")


def test_a_tick_from_before_the_answer_is_open_again(phone: Phone) -> None:
    traits = {"kind": "road"}
    job = take_in(by=phone.person, service="standard", traits=traits, go_ahead_minor=0)
    phone.tick(job, "index_front")
    phone.sync()

    job = agree(phone, job, "bottom-bracket-bearings")

    told = progress_of(job, state_of(job))["steps"]["index_front"]
    assert told["status"] == "open"
    assert [one["because"] for one in told["again"]] == [
        "the cage hangs beside another chainring line"
    ]
