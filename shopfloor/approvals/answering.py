"""Taking the customer's answer, once, and what follows from it."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

import rfc8785
from django.db import transaction

from shopfloor.approvals.models import Offer, OfferLine
from shopfloor.approvals.pricing import lacks_parts
from shopfloor.jobs import services as journal
from shopfloor.jobs.queries import state_of
from shopfloor.journal.permissions import check_can_answer
from shopfloor.journal.progress import full_route
from shopfloor.outbox import services as outbox
from shopfloor.promises import services as promises
from shopfloor.trade.added_work import UnknownTask, steps_for
from shopfloor.words import gettext as _
from shopfloor.workshop.models import Person

CLOSED = ("collected", "cancelled")


class NotOpen(Exception):
    """The offer was answered, withdrawn or replaced in the meantime."""


class Changed(Exception):
    """The answer was given to another version than the present one."""


class Unanswered(Exception):
    """Some lines have neither yes nor no; `lines` are their ids."""

    def __init__(self, lines: Sequence[str]) -> None:
        super().__init__(_("Say yes or no to each line."))
        self.lines = list(lines)


def check_answer(*, offer: Offer, version: int, decisions: Mapping[str, str]) -> None:
    """Raise NotOpen, Changed or Unanswered unless these decisions could be taken now."""
    if offer.state != "open":
        raise NotOpen(_("This question has been answered already."))
    if offer.job.place in CLOSED:
        raise NotOpen(_("This job is closed; nothing can be agreed on it any more."))
    if version != offer.version:
        raise Changed(_("The offer has changed since you read it. Please read it again."))
    lines = [str(line.id) for line in offer.lines.all()]
    open_lines = [line for line in lines if decisions.get(line) not in ("yes", "no")]
    if open_lines:
        raise Unanswered(open_lines)


def is_past(offer: Offer, at: datetime) -> bool:
    """Whether the price no longer holds; the desk may still take an answer."""
    return offer.state == "open" and at > offer.holds_until


def ready_if_agreed(offer: Offer, at: datetime) -> datetime:
    """The day as offered; where it cannot be kept any more, the one that can."""
    if offer.ready_after and offer.ready_after > at:
        return offer.ready_after
    lines = list(offer.lines.all())
    minutes = sum(line.minutes for line in lines)
    return _at_least_as_offered(offer, lines, extra_minutes=minutes, at=at)


def answer_offer(
    *,
    offer: Offer,
    version: int,
    decisions: Mapping[str, str],
    channel: str,
    words: str,
    at: datetime,
    by: Person | None = None,
) -> None:
    """
    Take the customer's answer, once: of two answers that race, the first wins and the other
    gets NotOpen. Raises also Changed, Unanswered and, for somebody at the desk, NotAllowed.
    """
    if by:
        check_can_answer(by.role)
    with transaction.atomic():
        offer.job = journal.lock_job(job=offer.job)
        check_answer(offer=offer, version=version, decisions=decisions)
        decide(offer, decisions, channel=channel, words=words, by=by, at=at)


def decide(
    offer: Offer,
    decisions: Mapping[str, str],
    *,
    channel: str,
    words: str,
    by: Person | None,
    at: datetime,
) -> None:
    """
    Close the offer with these decisions and do what follows from them. The caller has locked the
    job and checked the decisions. Raises NotOpen.
    """
    claimed = Offer.objects.filter(pk=offer.pk, state="open", version=offer.version).update(
        state="answered",
        answered_at=at,
        channel=channel,
        answered_by_words=words[:80],
        shown=shown_record(offer, at),
    )
    if claimed != 1:
        raise NotOpen(_("This question has been answered already."))
    offer.refresh_from_db()
    for line in offer.lines.all():
        line.decision = decisions[str(line.id)]
        line.save(update_fields=["decision"])
    outbox.cancel_messages(job=offer.job, purpose="offer", subject=offer.id)
    _write_answer(offer, by, at)
    _add_work(offer, by, at)


def shown_record(offer: Offer, at: datetime) -> str:
    """What the customer was shown at that time, as canonical JSON (RFC 8785)."""
    record: dict[str, Any] = {
        "offer": str(offer.id),
        "version": offer.version,
        "currency": offer.job.workshop.currency,
        "ready_before": offer.ready_before.isoformat() if offer.ready_before else None,
        "ready_after": ready_if_agreed(offer, at).isoformat(),
        "lines": [
            {
                "id": str(line.id),
                "title": line.title,
                "reason": line.reason,
                "photo": line.photo,
                "net_minor": line.net_minor,
                "vat_rate_bp": line.vat_rate_bp,
                "vat_minor": line.vat_minor,
                "gross_minor": line.gross_minor,
                "safety": line.safety,
            }
            for line in offer.lines.all()
        ],
    }
    return rfc8785.dumps(record).decode()


def _write_answer(offer: Offer, by: Person | None, at: datetime) -> None:
    journal.write_entry(
        job=offer.job,
        kind="answer",
        body={
            "offer": str(offer.id),
            "version": offer.version,
            "channel": offer.channel,
            "lines": [
                {
                    "finding": str(line.finding),
                    "decision": line.decision,
                    "title": line.title,
                    "gross_minor": line.gross_minor,
                }
                for line in offer.lines.all()
            ],
        },
        by=by,
        at=at,
    )


def _add_work(offer: Offer, by: Person | None, at: datetime) -> None:
    """Approved lines become steps of the route, and the promise moves to the day that was shown."""
    job = offer.job
    approved = [line for line in offer.lines.all() if line.decision == "yes"]
    state = state_of(job)
    found_at = {f["id"]: f["body"].get("step") for f in state["findings"]}
    route = {step["key"] for step in full_route(job.route, state)}
    for line in approved:
        steps = _steps_of(line, found_at.get(str(line.finding)), route)
        route |= {step["key"] for step in steps}
        body = {"finding": str(line.finding), "title": line.title, "steps": steps}
        journal.write_entry(job=job, kind="route-added", body=body, by=by, at=at)
    if approved:
        _move_promise(offer, approved, by, at)


def _move_promise(
    offer: Offer, approved: Sequence[OfferLine], by: Person | None, at: datetime
) -> None:
    """To the day that was shown; later only where the answer itself came late."""
    job = offer.job
    ready = _at_least_as_offered(offer, approved, extra_minutes=0, at=at)
    if ready != job.promised_at:
        titles = ", ".join(line.title.lower() for line in approved)
        promises.make_promise(
            job=job,
            ready_at=ready,
            why=_("Agreed with: {titles}").format(titles=titles),
            by=by,
            at=at,
        )


def _at_least_as_offered(
    offer: Offer, lines: Sequence[OfferLine], *, extra_minutes: int, at: datetime
) -> datetime:
    now = promises.promise_with_more(
        job=offer.job,
        extra_minutes=extra_minutes,
        wait_for_parts=lacks_parts(part for line in lines for part in line.parts),
        at=at,
    )
    return max(offer.ready_after or now.ready_at, now.ready_at)


def _steps_of(line: OfferLine, step: str | None, route: set[str]) -> list[dict[str, Any]]:
    facts: dict[str, Any] = {
        "finding_id": str(line.finding),
        "title": line.title,
        "minutes": line.minutes,
        "safety": line.safety,
        "traits": line.offer.job.bike.traits,
        "route": route,
        "step": step,
    }
    try:
        return steps_for(line.task or None, **facts)
    except UnknownTask:
        # A phone may know a task that this bike has no steps for: then it is done in own words.
        return steps_for(None, **facts)
