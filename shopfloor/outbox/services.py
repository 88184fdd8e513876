"""
Messages to customers: written down with the change that causes them, turned into text by the
worker when their time has come, sent from the shop's own phone by a person who says so.
"""

import logging
from collections.abc import Mapping
from datetime import datetime, timedelta
from hashlib import sha256
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db.models import QuerySet
from django.utils.crypto import constant_time_compare, salted_hmac
from django.utils.dateparse import parse_datetime

from shopfloor.jobs.models import Job
from shopfloor.outbox.models import Link, Message
from shopfloor.outbox.segments import sms_segments
from shopfloor.outbox.wording import write_text
from shopfloor.planning.quiet import earliest_send
from shopfloor.words import gettext as _
from shopfloor.workshop.models import Person, Workshop
from shopfloor.workshop.queries import calendar_of

logger = logging.getLogger(__name__)

# 52 letters and digits that nobody mistakes for one another; 23 of them carry 131 bits.
ALPHABET = "23456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz"[:52]
TOKEN_LENGTH = 23
CLAIM_HOLDS = timedelta(minutes=2)


class LinkGone(Exception):
    """No such link, or not any more; the page is the same for every reason."""


class NotToSend(Exception):
    """The message is not waiting to be sent."""


def give_link(*, job: Job, purpose: str, subject: UUID | None, at: datetime, days: int) -> Link:
    """A link for the customer; the same purpose and subject get the same link again."""
    found = Link.objects.filter(
        job=job, purpose=purpose, subject=subject, revoked_at=None, expires_at__gt=at
    ).first()
    if found:
        return found
    link = Link(
        workshop=job.workshop,
        job=job,
        purpose=purpose,
        subject=subject,
        created_at=at,
        expires_at=at + timedelta(days=days),
    )
    link.token_hash = _hash(token_of(link))
    link.save()
    return link


def token_of(link: Link) -> str:
    """
    The secret of a link: derived, so that it is stored nowhere. A link that was given under an
    earlier key keeps the secret that its customer has.
    """
    keys = (settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS)
    tokens = [_derive(link, key) for key in keys]
    return next((token for token in tokens if _hash(token) == link.token_hash), tokens[0])


def _derive(link: Link, key: str) -> str:
    told = salted_hmac("shopfloor.outbox.link", str(link.id), secret=key, algorithm="sha256")
    number = int.from_bytes(told.digest(), "big")
    letters = []
    for _place in range(TOKEN_LENGTH):
        number, place = divmod(number, len(ALPHABET))
        letters.append(ALPHABET[place])
    return "".join(letters)


def find_link(*, token: str, purpose: str, at: datetime) -> Link:
    """The link behind a token; raises LinkGone."""
    link = (
        Link.objects.select_related("workshop", "job")
        .filter(token_hash=_hash(token), purpose=purpose, revoked_at=None, expires_at__gt=at)
        .first()
    )
    if link is None or not constant_time_compare(link.token_hash, _hash(token)):
        raise LinkGone(
            _("This link does not lead anywhere any more. Ask the workshop for a new one.")
        )
    return link


def address_of(link: Link) -> str:
    """The whole web address of a link."""
    path = {"offer": "a", "sheet": "s"}[link.purpose]
    return f"{settings.BASE_URL}/{path}/{token_of(link)}/"


def _hash(token: str) -> str:
    return sha256(token.encode()).hexdigest()


def queue_message(
    *,
    job: Job,
    key: str,
    purpose: str,
    facts: Mapping[str, Any],
    link: Link | None,
    at: datetime,
    in_opening_hours: bool = False,
) -> Message:
    """
    Note that a customer is to be told something, once per `key`. It waits for the customer's
    quiet hours to pass, and for the shop to be open where the customer might come at once.
    """
    message, _made = Message.objects.get_or_create(
        workshop=job.workshop,
        key=key,
        defaults={
            "job": job,
            "purpose": purpose,
            "to_e164": job.customer.phone_e164,
            "facts": dict(facts),
            "link": link,
            "not_before": _send_from(job.workshop, at, in_opening_hours=in_opening_hours),
            "created_at": at,
        },
    )
    return message


def _send_from(workshop: Workshop, at: datetime, *, in_opening_hours: bool) -> datetime:
    calendar = calendar_of(workshop, on=at.date())
    start = calendar.next_opening(at) if in_opening_hours else at
    return earliest_send(
        start, tz=workshop.timezone, start=workshop.quiet_start, end=workshop.quiet_end
    )


def cancel_messages(*, job: Job, purpose: str, subject: UUID | None = None) -> int:
    """
    What is no longer true is not sent; answers how many were stopped.

    subject  only messages whose link leads to this
    """
    # One that is just being written is stopped too: the writer finds its claim gone.
    waiting = Message.objects.filter(
        job=job, purpose=purpose, state__in=["due", "writing", "to-send"]
    )
    if subject:
        waiting = waiting.filter(link__subject=subject)
    return waiting.update(state="cancelled", body="")


def write_due_messages(*, at: datetime, limit: int = 100) -> int:
    """Turn messages whose time has come into text for the outbox; answers how many."""
    _release_stale_claims(at)
    due = Message.objects.filter(state="due", not_before__lte=at).order_by("not_before")
    return sum(_try_to_write(pk, at) for pk in list(due.values_list("pk", flat=True)[:limit]))


def _try_to_write(pk: UUID, at: datetime) -> int:
    """One message that cannot be worded must not hold up the others; it is tried again later."""
    try:
        return _write(pk, at)
    except Exception:
        logger.exception(_("Message %s could not be written; the next sweep tries again."), pk)
        return 0


def _release_stale_claims(at: datetime) -> None:
    """A worker that died while writing leaves its claim; writing twice does no harm."""
    Message.objects.filter(state="writing", claimed_at__lt=at - CLAIM_HOLDS).update(state="due")


def _write(pk: UUID, at: datetime) -> int:
    claimed = Message.objects.filter(pk=pk, state="due").update(state="writing", claimed_at=at)
    if claimed != 1:
        return 0
    message = Message.objects.select_related("workshop", "job__bike", "link").get(pk=pk)
    body = _text(message)
    return Message.objects.filter(pk=pk, state="writing").update(
        state="to-send", body=body, segments=sms_segments(body).segments, written_at=at
    )


def _text(message: Message) -> str:
    zone = ZoneInfo(message.workshop.timezone)
    facts = {
        name: _local(value, zone) if name.endswith("_at") else value
        for name, value in message.facts.items()
    }
    return write_text(
        message.purpose,
        shop=message.workshop.name,
        bike=message.job.bike.words,
        link=address_of(message.link) if message.link else "",
        **facts,
    )


def _local(text: str | None, zone: ZoneInfo) -> datetime | None:
    moment = parse_datetime(text) if text else None
    return moment.astimezone(zone) if moment else None


def mark_sent(*, message: Message, by: Person, at: datetime) -> None:
    """Somebody says that the text went out from the shop's phone."""
    changed = Message.objects.filter(pk=message.pk, state="to-send").update(
        state="sent", sent_at=at, sent_by=by
    )
    if changed != 1:
        raise NotToSend(_("This message is not waiting to be sent: it was sent or is out of date."))


def mark_not_sent(*, message: Message) -> None:
    """Undo a mistaken “sent”."""
    Message.objects.filter(pk=message.pk, state="sent").update(
        state="to-send", sent_at=None, sent_by=None
    )


def address_messages(*, jobs: QuerySet[Job], number: str) -> int:
    """Texts that had no number to go to get one; answers how many."""
    waiting = Message.objects.filter(
        job__in=jobs, to_e164="", state__in=["due", "writing", "to-send"]
    )
    return waiting.update(to_e164=number)
