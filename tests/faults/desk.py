"""What people do at the desk of a simulated shop, through the services that the pages call."""

import random
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

from shopfloor.approvals import answering
from shopfloor.approvals import services as approvals
from shopfloor.approvals.models import Offer
from shopfloor.handover import services as handover
from shopfloor.jobs.models import Job
from shopfloor.jobs.queries import state_of
from shopfloor.journal.permissions import NotAllowed
from shopfloor.promises import services as promises
from shopfloor.workshop import services as workshops
from shopfloor.workshop.models import Device, Person

REFUSED = (
    approvals.NothingToOffer,
    answering.NotOpen,
    answering.Changed,
    handover.CannotRelease,
    handover.CannotClose,
    workshops.StillSignedIn,
    NotAllowed,
)


def act(what: str, *, at: datetime, draw: random.Random, **facts: Any) -> dict[str, Any]:
    """Do one thing; a refusal is an answer too."""
    try:
        return {"done": True, **ACTIONS[what](at=at, draw=draw, **facts)}
    except REFUSED as refusal:
        return {"done": False, "said": f"{type(refusal).__name__}: {refusal}"}


def _manager(job: Job) -> Person:
    return Person.objects.get(workshop=job.workshop, role="manager")


def _job(job: str) -> Job:
    return Job.objects.select_related("workshop", "bike", "customer").get(pk=job)


def offer(*, job: str, at: datetime, draw: random.Random) -> dict[str, Any]:
    """Ask the customer about every finding that was not asked about yet."""
    row = _job(job)
    state = state_of(row)
    taken = set(state["answers"]) | set(state["asking"])
    wanted = [
        approvals.Wanted(
            finding=finding["id"],
            title=finding["body"]["title"],
            reason=finding["body"]["reason"],
            minutes=finding["body"]["minutes"],
            parts=[],
            safety=finding["body"]["safety"],
        )
        for finding in state["findings"]
        if finding["id"] not in taken
    ]
    approvals.make_offer(job=row, wanted=wanted, by=_manager(row), at=at)
    return {}


def answer(*, job: str, at: datetime, draw: random.Random) -> dict[str, Any]:
    """The customer decides, line by line."""
    found = Offer.objects.filter(job_id=job, state="open").order_by("made_at").first()
    if found is None:
        raise answering.NotOpen("nothing was asked")
    lines = [str(line.id) for line in found.lines.all()]
    answering.answer_offer(
        offer=found,
        version=found.version,
        decisions={line: draw.choice(["yes", "no"]) for line in lines},
        channel="link",
        words="Jana",
        at=at,
    )
    return {}


def withdraw(*, job: str, at: datetime, draw: random.Random) -> dict[str, Any]:
    """The question is taken back."""
    found = Offer.objects.filter(job_id=job, state="open").order_by("made_at").first()
    if found is None:
        raise answering.NotOpen("nothing was asked")
    approvals.withdraw_offer(offer=found, by=_manager(found.job), at=at)
    return {}


def promise(*, job: str, at: datetime, draw: random.Random) -> dict[str, Any]:
    """Another day is told to the customer."""
    row = _job(job)
    ready_at = at + timedelta(hours=draw.randint(1, 72))
    promises.make_promise(job=row, ready_at=ready_at, why="", by=_manager(row), at=at)
    return {}


def release(*, job: str, at: datetime, draw: random.Random) -> dict[str, Any]:
    """Try to let the bike go, safe or not to ride."""
    row = _job(job)
    mode = draw.choice(["safe", "not-to-ride"])
    handover.release_job(job=row, mode=mode, reason="The owner declined.", by=_manager(row), at=at)
    return {"released": job}


def take_back(*, job: str, at: datetime, draw: random.Random) -> dict[str, Any]:
    """The bike goes back to the stand."""
    row = _job(job)
    handover.take_back(job=row, by=_manager(row), at=at, reason="")
    return {}


def collect(*, job: str, at: datetime, draw: random.Random) -> dict[str, Any]:
    """The customer has the bike."""
    row = _job(job)
    handover.collect_job(job=row, by=_manager(row), at=at)
    return {}


def cancel(*, job: str, at: datetime, draw: random.Random) -> dict[str, Any]:
    """The job will not be done."""
    row = _job(job)
    handover.cancel_job(job=row, reason="The frame is cracked.", by=_manager(row), at=at)
    return {}


def revoke(*, device: str, at: datetime, draw: random.Random) -> dict[str, Any]:
    """A phone may not speak any more."""
    row = Device.objects.filter(pk=device).first()
    if row is not None:
        workshops.revoke_device(device=row, at=at)
    return {}


def write_off(*, device: str, at: datetime, draw: random.Random) -> dict[str, Any]:
    """A phone is gone for good."""
    row = Device.objects.filter(pk=device).first()
    if row is not None:
        workshops.revoke_device(device=row, at=at)
        workshops.write_off(device=row, at=at)
    return {}


ACTIONS: dict[str, Callable[..., dict[str, Any]]] = {
    one.__name__: one
    for one in (
        *(offer, answer, withdraw, promise, release, take_back, collect, cancel),
        *(revoke, write_off),
    )
}
