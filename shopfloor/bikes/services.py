"""What the desk changes of a bike: whose it is, and which mark of an earlier job it passes on."""

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.utils.timezone import localtime

from shopfloor.bikes.remembered import Mark, marks_of
from shopfloor.bikes.visits import Visit, answers_of, visits_of
from shopfloor.customers.models import Bike
from shopfloor.customers.services import keep_customer
from shopfloor.jobs import services as journal
from shopfloor.jobs.models import Job
from shopfloor.journal.permissions import check_can_take_in
from shopfloor.outbox.phone import decide_phone
from shopfloor.words import day_and_month
from shopfloor.words import gettext as _
from shopfloor.workshop.models import Person

CLOSED = ("ready", "collected", "cancelled")


class NotClear(Exception):
    """Something about the new owner cannot be used; the message says what."""


class NoSuchMark(Exception):
    """No earlier job has a mark of this part that this job could use."""


def change_hands(*, bike: Bike, name: str, phone: str, by: Person, at: datetime) -> None:
    """
    From now on the bike is somebody else's. Its past stays with it at the desk; jobs stay with
    those who brought them, and so do their sheets.

    Raises NotClear, NotAllowed.
    """
    check_can_take_in(by.role)
    decision = decide_phone(phone, bike.workshop.region.split("-")[0])
    if not name.strip():
        raise NotClear(_("Write the customer's name."))
    if not decision.e164:
        raise NotClear(decision.sentence)
    with transaction.atomic():
        bike.customer = keep_customer(
            workshop=bike.workshop,
            number=decision.e164,
            typed=phone.strip(),
            name=name.strip(),
            at=at,
        )
        bike.save(update_fields=["customer"])


def marks_to_offer(visits: Sequence[Visit], job: Job) -> list[Mark]:
    """
    Marks of earlier jobs for parts that this job asks about and that nobody has read anew: they
    are offered, and nothing is judged by them until somebody has looked at the part.
    """
    own = next((visit for visit in visits if visit.job.pk == job.pk), None)
    if own is None or own.state["place"] in CLOSED:
        return []
    asked = {ask["item"] for step in own.route for ask in step["asks"]}
    read = {one.ask["item"] for one in answers_of(own) if one.head["body"].get("mark")}
    told = {note["body"].get("text") for note in own.state["notes"]}
    earlier = marks_of(visit for visit in visits if visit.job.opened_at < job.opened_at)
    return [mark for mark in earlier if mark.item in asked - read and note_of(mark) not in told]


def take_mark(*, job: Job, item: str, by: Person, at: datetime) -> None:
    """
    Say at the stand, at the step that asks about the part, what an earlier job read off it. It is a
    note: the limits follow only when the mark is read on the part and written with a reading.

    Raises NoSuchMark.
    """
    with transaction.atomic():
        job = journal.lock_job(job=job)
        visits = visits_of(job.bike)
        mark = next((one for one in marks_to_offer(visits, job) if one.item == item), None)
        if mark is None:
            raise NoSuchMark(_("No mark of an earlier job can be offered for this part."))
        own = next(visit for visit in visits if visit.job.pk == job.pk)
        step = next(s for s in own.route if any(ask["item"] == item for ask in s["asks"]))
        body = {"text": note_of(mark), "step": step["key"]}
        journal.write_entry(job=job, kind="note", body=body, by=by, at=at)


def note_of(mark: Mark) -> str:
    """What is said of a mark at the stand."""
    local = localtime(mark.noted_at)
    return _(
        "{part}: {limit} was read off the part at {tag}, {day} {year}. Look whether it is still "
        "the same part, and read the mark again: only then it counts."
    ).format(
        part=mark.label,
        limit=mark.limit,
        tag=mark.job.tag,
        day=day_and_month(local),
        year=local.year,
    )
