"""Reading a workshop: its calendar as plain values, its people, its devices."""

from datetime import date, timedelta
from uuid import UUID

from shopfloor.planning.bank_holidays import bank_holidays
from shopfloor.planning.opening import Calendar
from shopfloor.words import gettext as _
from shopfloor.workshop.models import Closure, Device, DeviceKind, Person, Workshop, token_hash

LOOK_AHEAD_DAYS = 400


class UnknownDevice(Exception):
    """The token belongs to no device that may still speak; `code` tells the phone what to do."""

    code = "sign-in"


class RevokedDevice(UnknownDevice):
    """The token is known, and its device was signed out at the desk; `epoch` is its workshop's."""

    code = "revoked"

    def __init__(self, message: str, *, epoch: UUID) -> None:
        super().__init__(message)
        self.epoch = epoch


def calendar_of(workshop: Workshop, *, on: date) -> Calendar:
    """Opening hours, bank holidays and closures as the planning floor wants them, from `on`."""
    holidays = holiday_names(workshop, on=on)
    closures = Closure.objects.filter(workshop=workshop, on__gte=on - timedelta(days=31))
    overrides = {row.on: [tuple(span) for span in row.hours] for row in closures}
    names = holidays | {row.on: row.reason for row in closures if not row.hours}
    return Calendar(
        tz=workshop.timezone,
        weekly={day: [tuple(s) for s in spans] for day, spans in workshop.weekly_hours.items()},
        closed=frozenset(holidays),
        overrides=overrides,
        names=names,
    )


def holiday_names(workshop: Workshop, *, on: date) -> dict[date, str]:
    """The region's bank holidays of the last and the coming year, with their names."""
    years = range(on.year - 1, (on + timedelta(days=LOOK_AHEAD_DAYS)).year + 1)
    return bank_holidays(workshop.region, years)


def mechanics_of(workshop: Workshop) -> int:
    """How many people can work at once; at least one."""
    return max(1, workshop.people.filter(is_active=True, role="mechanic").count())


def people_of(workshop: Workshop) -> list[Person]:
    """Everybody who works here now, by name."""
    return list(workshop.people.filter(is_active=True).order_by("name"))


def device_for_token(token: str) -> Device:
    """The phone that holds this token; raises UnknownDevice, RevokedDevice."""
    phones = Device.objects.select_related("workshop").filter(kind=DeviceKind.PHONE)
    try:
        found = phones.get(token_hash=token_hash(token))
    except Device.DoesNotExist:
        raise UnknownDevice(
            _("This phone is not signed in to the workshop. Sign in again on it.")
        ) from None
    if found.revoked_at:
        sentence = _("The desk has signed this phone out. Sign in again on it.")
        raise RevokedDevice(sentence, epoch=found.workshop.epoch)
    return found
