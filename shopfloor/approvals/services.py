"""Asking the customer: pricing findings, offering them, taking a question back."""

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db import transaction

from shopfloor.approvals import answering
from shopfloor.approvals.models import Offer, OfferLine
from shopfloor.approvals.pricing import Price, lacks_parts, price_line
from shopfloor.jobs import services as journal
from shopfloor.jobs.models import Job
from shopfloor.jobs.queries import state_of
from shopfloor.journal.permissions import check_can_price
from shopfloor.outbox import services as outbox
from shopfloor.promises import services as promises
from shopfloor.words import gettext as _
from shopfloor.workshop.models import Person, Workshop

OFFER_HOLDS = timedelta(days=5)
LINK_DAYS = 60


class NothingToOffer(Exception):
    """No finding was chosen, or a chosen one is already asked, answered or taken back."""


@dataclass(frozen=True)
class Wanted:
    """One finding as the desk wants to offer it."""

    finding: str
    title: str
    reason: str
    minutes: int
    parts: Sequence[Mapping[str, Any]]
    safety: bool
    task: str = ""
    photo: str = ""


def price_of(wanted: Wanted, shop: Workshop) -> Price:
    """What a finding costs in this shop now."""
    return price_line(
        minutes=wanted.minutes,
        parts=wanted.parts,
        labour_rate_minor=shop.labour_rate_minor,
        vat_rate_bp=shop.vat_rate_bp,
    )


def make_offer(
    *,
    job: Job,
    wanted: Sequence[Wanted],
    by: Person,
    at: datetime,
    ready_after: datetime | None = None,
) -> Offer:
    """
    Offer findings to the customer. Within the agreed go-ahead limit they are approved at once
    and the customer is told; otherwise the customer is asked by text.

    Raises NothingToOffer, NotAllowed.
    """
    check_can_price(by.role)
    with transaction.atomic():
        job = journal.lock_job(job=job)
        _check_open(job, wanted)
        offer = _store_offer(job, wanted, by, at, ready_after)
        if total_minor(offer) <= go_ahead_left(job):
            offer.told = True
            offer.save(update_fields=["told"])
        _write_asked(offer, by, at)
        if offer.told:
            _agree_to_all(offer, by, at)
        _write_to_customer(offer, at)
    return offer


def _check_open(job: Job, wanted: Sequence[Wanted]) -> None:
    state = state_of(job)
    live = {finding["id"] for finding in state["findings"]}
    taken = set(state["answers"]) | set(state["asking"])
    if not wanted or any(w.finding not in live or w.finding in taken for w in wanted):
        raise NothingToOffer(_("Choose findings that were not yet offered or answered."))
    if state["place"] in answering.CLOSED:
        raise NothingToOffer(_("This job is closed; nothing can be offered on it any more."))


def _store_offer(
    job: Job, wanted: Sequence[Wanted], by: Person, at: datetime, ready_after: datetime | None
) -> Offer:
    found = promises.promise_with_more(
        job=job,
        extra_minutes=sum(w.minutes for w in wanted),
        wait_for_parts=lacks_parts(part for w in wanted for part in w.parts),
        at=at,
    )
    offer = Offer.objects.create(
        job=job,
        made_at=at,
        made_by=by,
        ready_before=job.promised_at,
        ready_after=ready_after or found.ready_at,
        why_ready=" ".join(found.reasons),
        holds_until=at + OFFER_HOLDS,
    )
    OfferLine.objects.bulk_create(
        [_line(offer, position, w) for position, w in enumerate(wanted, start=1)]
    )
    return offer


def _line(offer: Offer, position: int, wanted: Wanted) -> OfferLine:
    shop = offer.job.workshop
    price = price_of(wanted, shop)
    return OfferLine(
        offer=offer,
        position=position,
        finding=uuid.UUID(wanted.finding),
        title=wanted.title,
        reason=wanted.reason,
        photo=wanted.photo,
        task=wanted.task,
        minutes=wanted.minutes,
        labour_minor=price.labour_minor,
        parts=list(wanted.parts),
        net_minor=price.net_minor,
        vat_rate_bp=shop.vat_rate_bp,
        vat_minor=price.vat_minor,
        gross_minor=price.gross_minor,
        safety=wanted.safety,
    )


def _write_asked(offer: Offer, by: Person, at: datetime) -> None:
    journal.write_entry(
        job=offer.job,
        kind="asked",
        body={
            "offer": str(offer.id),
            "version": offer.version,
            "findings": [str(line.finding) for line in offer.lines.all()],
            "told": offer.told,
        },
        by=by,
        at=at,
    )


def _agree_to_all(offer: Offer, by: Person, at: datetime) -> None:
    """Within the go-ahead limit it is done without asking."""
    decisions = {str(line.id): "yes" for line in offer.lines.all()}
    answering.decide(offer, decisions, channel="go-ahead", words=_("agreed limit"), by=by, at=at)


def _write_to_customer(offer: Offer, at: datetime) -> None:
    """The question, or word of what is done within the limit."""
    job, purpose = offer.job, "told" if offer.told else "offer"
    link = outbox.give_link(job=job, purpose="offer", subject=offer.id, at=at, days=LINK_DAYS)
    outbox.queue_message(
        job=job,
        key=f"{job.id}:{purpose}:{offer.id}:v{offer.version}",
        purpose=purpose,
        facts=_message_facts(offer),
        link=link,
        at=at,
    )


def _message_facts(offer: Offer) -> dict[str, Any]:
    lines = list(offer.lines.all())
    return {
        "titles": [line.title for line in lines],
        "total_minor": total_minor(offer),
        "currency": offer.job.workshop.currency,
        "ready_at": offer.ready_after.isoformat() if offer.ready_after else None,
    }


def total_minor(offer: Offer) -> int:
    """All lines together, VAT included, in minor units."""
    return sum(line.gross_minor for line in offer.lines.all())


def go_ahead_left(job: Job) -> int:
    """What may still be spent without asking, in minor units."""
    spent = OfferLine.objects.filter(
        offer__job=job, offer__channel="go-ahead", decision="yes"
    ).values_list("gross_minor", flat=True)
    return max(0, job.go_ahead_minor - sum(spent))


def withdraw_offer(*, offer: Offer, by: Person, at: datetime) -> None:
    """
    Take a question back before it is answered; the findings can then be offered anew.

    Raises NotOpen, NotAllowed.
    """
    check_can_price(by.role)
    with transaction.atomic():
        journal.lock_job(job=offer.job)
        if Offer.objects.filter(pk=offer.pk, state="open").update(state="withdrawn") != 1:
            raise answering.NotOpen(_("This question has been answered already."))
        offer.refresh_from_db()
        heads = state_of(offer.job)["places"].get(f"offer:{offer.id}", [])
        journal.write_entry(
            job=offer.job,
            kind="withdrawn",
            body={"reason": _("The offer was withdrawn")},
            by=by,
            at=at,
            supersedes=[head["id"] for head in heads],
        )
        outbox.cancel_messages(job=offer.job, purpose="offer", subject=offer.id)


def parts_are_in(*, job: Job, finding: str, by: Person, at: datetime) -> None:
    """The parts for an approved finding have arrived."""
    journal.write_entry(job=job, kind="parts-in", body={"finding": finding}, by=by, at=at)
