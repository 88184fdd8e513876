"""Promises: what can be promised now, and telling, moving, keeping or breaking one."""

from datetime import datetime

from django.db import transaction
from django.db.models import QuerySet

from shopfloor.jobs import services as journal
from shopfloor.jobs.models import Job
from shopfloor.jobs.queries import jobs_of, state_of
from shopfloor.journal.permissions import check_can_promise
from shopfloor.outbox import services as outbox
from shopfloor.planning.ready import Ready, ready_at
from shopfloor.promises.models import Promise
from shopfloor.words import gettext as _
from shopfloor.workshop.models import Person, Workshop
from shopfloor.workshop.queries import calendar_of, mechanics_of

# Two working days for a part that is not in stock: common practice, changed by hand on the offer.
PARTS_OPEN_DAYS = 2


def promise_for_new(*, workshop: Workshop, own_minutes: int, at: datetime) -> Ready:
    """The ready time of a job taken in now, behind all work already promised."""
    return _ready(workshop, ahead=_open(workshop), own_minutes=own_minutes, at=at)


def promise_with_more(*, job: Job, extra_minutes: int, wait_for_parts: bool, at: datetime) -> Ready:
    """The ready time of an open job if more work is added; never before what was promised."""
    ahead = _open(job.workshop).exclude(pk=job.pk)
    if job.promised_at:
        ahead = ahead.filter(promised_at__lt=job.promised_at)
    summary = Job.objects.values_list("summary", flat=True).get(pk=job.pk)
    own = int(summary.get("minutes_left", 0)) + extra_minutes
    found = _ready(job.workshop, ahead=ahead, own_minutes=own, at=at, parts=wait_for_parts)
    if job.promised_at and found.ready_at < job.promised_at:
        return Ready(
            ready_at=job.promised_at,
            open_minutes_ahead=found.open_minutes_ahead,
            reasons=[_("It fits before the time already promised.")],
        )
    return found


def _open(workshop: Workshop) -> QuerySet[Job]:
    # Often asked while the job in question is locked.
    return jobs_of(workshop, wait=False).open().exclude(place="ready")


def _ready(
    workshop: Workshop, *, ahead: QuerySet[Job], own_minutes: int, at: datetime, parts: bool = False
) -> Ready:
    minutes = sum(int(s.get("minutes_left", 0)) for s in ahead.values_list("summary", flat=True))
    return ready_at(
        calendar_of(workshop, on=at.date()),
        at=at,
        minutes_ahead=minutes,
        own_minutes=own_minutes,
        mechanics=mechanics_of(workshop),
        parts_open_days=PARTS_OPEN_DAYS if parts else 0,
    )


def make_promise(
    *, job: Job, ready_at: datetime, why: str, by: Person | None, at: datetime
) -> Promise:
    """Tell the customer a time; an earlier promise of the job becomes history."""
    with transaction.atomic():
        journal.lock_job(job=job)
        heads = [head["id"] for head in state_of(job)["places"].get("promise", [])]
        Promise.objects.filter(job=job, standing="open").update(standing="moved")
        promise = Promise.objects.create(
            job=job, ready_at=ready_at, why=why, made_at=at, made_by=by
        )
        journal.write_entry(
            job=job,
            kind="promise",
            body={"ready_at": ready_at.isoformat(), "why": why},
            by=by,
            at=at,
            supersedes=heads,
        )
    return promise


def move_promise(
    *, job: Job, ready_at: datetime, why: str, tell: bool, by: Person, at: datetime
) -> Promise:
    """A manager moves the promise, and the customer is told if wanted. Raises NotAllowed."""
    with transaction.atomic():
        check_can_promise(by.role, journal.lock_job(job=job).place)
        promise = make_promise(job=job, ready_at=ready_at, why=why, by=by, at=at)
        # A text about an earlier move that was not sent yet would now be wrong.
        outbox.cancel_messages(job=job, purpose="moved")
        if tell:
            outbox.queue_message(
                job=job,
                key=f"{job.id}:moved:{promise.pk}",
                purpose="moved",
                facts={"ready_at": ready_at.isoformat()},
                link=None,
                at=at,
            )
    return promise


def settle_promise(*, job: Job, at: datetime) -> None:
    """The bike is ready: the promise was kept or broken."""
    open_promise = Promise.objects.filter(job=job, standing="open").first()
    if open_promise:
        open_promise.standing = "kept" if at <= open_promise.ready_at else "broken"
        open_promise.save(update_fields=["standing"])


def reopen_promise(*, job: Job) -> None:
    """The bike was not ready after all: whether its promise is kept is open again."""
    told = Promise.objects.filter(job=job)
    if not told.filter(standing="open").exists():
        settled = told.filter(standing__in=["kept", "broken"]).order_by("-made_at", "-pk").first()
        if settled:
            settled.standing = "open"
            settled.save(update_fields=["standing"])
