"""Changing the workshop: setting one up, its people, its devices, its hours."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, time, timedelta
from typing import Any

from django.db import transaction
from django.db.models import F

from shopfloor.planning.opening import DAYS
from shopfloor.words import gettext as _
from shopfloor.workshop.models import (
    Closure,
    Device,
    Person,
    Role,
    Workshop,
)

USUAL_HOURS = {day: [["09:00", "13:00"], ["13:30", "17:30"]] for day in DAYS[:5]}
USUAL_PRICES = {"safety": 4500, "standard": 9500, "full": 22000}


# A guesser gets 120 tries an hour; somebody who mistypes loses five minutes at most.
TRIES = 10
PAUSE_AFTER_TRIES = timedelta(minutes=5)


class TooManyTries(Exception):
    """Somebody is guessing a password."""


class StillSignedIn(Exception):
    """A phone that may still speak is not given up."""


class HoursNotClear(Exception):
    """Opening hours could not be read."""


class UsernameTaken(Exception):
    """Somebody signs in under this name already."""


class LastManager(Exception):
    """Without this person nobody could change the workshop any more."""


def open_workshop(*, name: str, **facts: Any) -> Workshop:
    """Set up a shop with ordinary hours and prices, to be changed on its settings page."""
    defaults = {"weekly_hours": USUAL_HOURS, "service_prices": USUAL_PRICES}
    return Workshop.objects.create(name=name, **(defaults | facts))


def add_person(*, workshop: Workshop, username: str, name: str, role: str, password: str) -> Person:
    """Let somebody sign in; raises UsernameTaken."""
    if Person.objects.filter(username__iexact=username).exists():
        raise UsernameTaken(
            _("“{name}” is taken. Choose another name to sign in with.").format(name=username)
        )
    return Person.objects.create_person(
        workshop=workshop, username=username, name=name, role=Role(role).value, password=password
    )


def let_go(*, person: Person, at: datetime) -> None:
    """
    Stop somebody from signing in, and the phones that were signed in by this person from
    speaking. Raises LastManager.
    """
    with transaction.atomic():
        others = Person.objects.select_for_update().filter(
            workshop=person.workshop, role=Role.MANAGER, is_active=True
        )
        if person.role == Role.MANAGER and {row.pk for row in others} <= {person.pk}:
            raise LastManager(
                _("{name} is the only manager. Make somebody else one first.").format(
                    name=person.name
                )
            )
        person.is_active = False
        person.save(update_fields=["is_active"])
        Device.objects.filter(person=person, revoked_at=None).update(revoked_at=at)


def check_may_try(*, username: str, at: datetime) -> None:
    """Raise TooManyTries after ten wrong passwords in a row, until five minutes have passed."""
    guessed = Person.objects.filter(
        username__iexact=username,
        wrong_passwords__gte=TRIES,
        wrong_password_at__gt=at - PAUSE_AFTER_TRIES,
    )
    if guessed.exists():
        raise TooManyTries(
            _("Too many wrong passwords for this name. Wait five minutes, then try.")
        )


def note_wrong_password(*, username: str, at: datetime) -> None:
    """Count one more; in the database, so that several processes count together."""
    Person.objects.filter(username__iexact=username).update(
        wrong_passwords=F("wrong_passwords") + 1, wrong_password_at=at
    )


def note_signed_in(*, person: Person) -> None:
    """Start counting anew."""
    Person.objects.filter(pk=person.pk).update(wrong_passwords=0, wrong_password_at=None)


def welcome_back(*, person: Person) -> None:
    """Let somebody sign in again; phones have to be signed in anew."""
    person.is_active = True
    person.save(update_fields=["is_active"])


def change_password(*, person: Person, password: str) -> None:
    """Give somebody a new password; other browsers they are signed in with are signed out."""
    person.set_password(password)
    person.save(update_fields=["password"])


def revoke_device(*, device: Device, at: datetime) -> None:
    """A lost or retired phone may not speak any more; what it has sent stays."""
    Device.objects.filter(pk=device.pk, revoked_at=None).update(revoked_at=at)


def write_off(*, device: Device, at: datetime) -> None:
    """
    The phone is gone for good: nobody waits any more for what it never sent. Should it come back
    all the same, its entries are still taken.

    Raises StillSignedIn.
    """
    gone = Device.objects.filter(pk=device.pk, revoked_at__isnull=False)
    if gone.update(written_off_at=at) != 1:
        raise StillSignedIn(
            _("{name} is still signed in. Sign it out first.").format(name=device.name)
        )


def save_settings(
    *, workshop: Workshop, facts: Mapping[str, Any], hours: Mapping[str, Sequence[Sequence[str]]]
) -> None:
    """Keep new particulars and weekly hours."""
    for field, value in facts.items():
        setattr(workshop, field, value)
    workshop.weekly_hours = {day: [list(span) for span in spans] for day, spans in hours.items()}
    workshop.save(update_fields=[*facts, "weekly_hours"])


def read_hours(text: str) -> list[list[str]]:
    """
    '09:00-13:00, 13:30-17:30' as spans; an empty text is a closed day.

    Raises HoursNotClear with a sentence that quotes what was typed.
    """
    spans = []
    for part in filter(None, (piece.strip() for piece in text.split(","))):
        start, dash, end = part.replace("–", "-").partition("-")
        try:
            pair = [_clock(start), _clock(end)]
        except ValueError:
            dash = ""
        if not dash or pair[0] in ("24:00", pair[1]):
            raise HoursNotClear(
                _("“{part}” is not a span of hours. Write it like 09:00-17:30.").format(part=part)
            )
        spans.append(pair)
    return spans


def _clock(text: str) -> str:
    return (
        "24:00" if text.strip() == "24:00" else time.fromisoformat(text.strip()).strftime("%H:%M")
    )


def close_on(
    *, workshop: Workshop, on: date, reason: str, hours: Sequence[Sequence[str]] = ()
) -> Closure:
    """Shut the shop on a day, or open it at other hours."""
    row, _ = Closure.objects.update_or_create(
        workshop=workshop,
        on=on,
        defaults={"reason": reason, "hours": [list(span) for span in hours]},
    )
    return row


def open_again_on(*, workshop: Workshop, on: date) -> None:
    """Take a closure back."""
    Closure.objects.filter(workshop=workshop, on=on).delete()
