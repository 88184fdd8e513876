"""Letting a bike go: refusing with reasons, releasing, collecting, cancelling."""

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction

from shopfloor.jobs import services as journal
from shopfloor.jobs.models import Job
from shopfloor.jobs.queries import missing_entries, state_of
from shopfloor.journal.permissions import (
    check_can_cancel,
    check_can_collect,
    check_can_release,
    check_can_take_back,
)
from shopfloor.journal.progress import full_route
from shopfloor.journal.release import Refusal, release_refusals
from shopfloor.outbox import services as outbox
from shopfloor.promises import services as promises
from shopfloor.words import gettext as _
from shopfloor.workshop.models import Person

SHEET_LINK_DAYS = 730
PICKUPS = ("pickup", "not-to-ride")


class CannotRelease(Exception):
    """The bike may not go yet; `refusals` say why, one by one."""

    def __init__(self, refusals: Sequence[Refusal]) -> None:
        super().__init__(_("This bike cannot be released yet."))
        self.refusals = list(refusals)


class CannotClose(Exception):
    """The job is not in a place from which this is possible."""


def refusals_of(*, job: Job, mode: str = "safe", reason: str | None = None) -> list[Refusal]:
    """Everything that stands against releasing the job now; empty when nothing does."""
    state = state_of(job)
    route = full_route(job.route, state)
    return release_refusals(route, state, missing_entries(job), mode=mode, reason=reason)


def release_job(*, job: Job, mode: str, reason: str, by: Person, at: datetime) -> None:
    """
    Declare the bike ready. `mode` is "safe", or "not-to-ride" for a bike that goes back
    unrepaired with a written warning. Raises CannotRelease, NotAllowed.
    """
    check_can_release(by.role, mode=mode)
    with transaction.atomic():
        job = journal.lock_job(job=job)
        refusals = refusals_of(job=job, mode=mode, reason=reason)
        if refusals:
            raise CannotRelease(refusals)
        body = {"mode": mode, "reason": reason.strip()}
        journal.write_entry(job=job, kind="released", body=body, by=by, at=at)
        promises.settle_promise(job=job, at=at)
        _stop_texts(job, "moved")
        _tell_ready(job, mode, at)


def _tell_ready(job: Job, mode: str, at: datetime) -> None:
    link = outbox.give_link(job=job, purpose="sheet", subject=None, at=at, days=SHEET_LINK_DAYS)
    outbox.queue_message(
        job=job,
        key=f"{job.id}:pickup:{state_of(job)['places']['released'][0]['id']}",
        purpose="pickup" if mode == "safe" else "not-to-ride",
        facts={},
        link=link,
        at=at,
        in_opening_hours=True,
    )


def take_back(*, job: Job, by: Person, at: datetime, reason: str) -> None:
    """Undo a release before the bike was collected. Raises CannotClose, NotAllowed."""
    check_can_take_back(by.role)
    with transaction.atomic():
        journal.lock_job(job=job)
        state = state_of(job)
        if state["place"] != "ready":
            raise CannotClose(_("Only a bike that is ready and not collected can be taken back."))
        heads = [head["id"] for head in state["places"].get("released", [])]
        body = {"reason": reason or _("Taken back to the stand")}
        journal.write_entry(job=job, kind="withdrawn", body=body, by=by, at=at, supersedes=heads)
        promises.reopen_promise(job=job)
        _stop_texts(job, *PICKUPS)


def collect_job(*, job: Job, by: Person, at: datetime) -> None:
    """The customer has the bike. Raises CannotClose, NotAllowed."""
    check_can_collect(by.role)
    with transaction.atomic():
        journal.lock_job(job=job)
        if state_of(job)["place"] != "ready":
            raise CannotClose(_("Only a bike that is ready can be collected. Release it first."))
        journal.write_entry(job=job, kind="collected", body={}, by=by, at=at)
        _stop_texts(job, *PICKUPS)


def cancel_job(*, job: Job, reason: str, by: Person, at: datetime) -> None:
    """The job will not be done. Raises CannotClose, NotAllowed."""
    check_can_cancel(by.role)
    with transaction.atomic():
        journal.lock_job(job=job)
        if state_of(job)["place"] in ("collected", "cancelled"):
            raise CannotClose(_("This job is closed already."))
        if not reason.strip():
            raise CannotClose(_("Write why the job is cancelled."))
        journal.write_entry(job=job, kind="cancelled", body={"reason": reason}, by=by, at=at)
        _stop_texts(job, "offer", "moved", *PICKUPS)


def _stop_texts(job: Job, *purposes: str) -> None:
    for purpose in purposes:
        outbox.cancel_messages(job=job, purpose=purpose)
