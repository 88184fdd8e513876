"""What the desk knows of each phone at the stand, as it last told."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Count, QuerySet
from django.utils.dateparse import parse_datetime

from shopfloor.workshop.models import Device, DeviceKind, Workshop

# Below this nobody minds; above it the times that the phone writes look wrong.
CLOCK_MAY_BE_OFF = timedelta(minutes=2)


@dataclass(frozen=True)
class Phone:
    """
    One phone. `missing` are numbers that it has given to entries which have not arrived;
    `successors` are phones that say they have been this one.
    """

    device: Device
    missing: int
    entries: int
    photos: int
    walk_ins: int
    oldest_at: datetime | None
    successors: tuple[str, ...] = ()

    @property
    def owes(self) -> bool:
        """Something was written on it that the server has not got."""
        return bool(self.missing or self.entries or self.photos or self.walk_ins)

    @property
    def clock_off(self) -> bool:
        """Whether its clock is so far off that it is worth a word."""
        return abs(self._clock) > CLOCK_MAY_BE_OFF

    @property
    def clock_is_ahead(self) -> bool:
        return self._clock > timedelta(0)

    @property
    def clock_minutes(self) -> int:
        return round(abs(self._clock).total_seconds() / 60)

    @property
    def _clock(self) -> timedelta:
        return timedelta(milliseconds=self.device.clock_offset_ms or 0)


def phones_of(workshop: Workshop) -> list[Phone]:
    """Every phone that was ever enrolled: those that may speak first, then by name."""
    rows = list(_phones(workshop).select_related("person").order_by("revoked_at", "name"))
    taken = _taken_after_all(rows)
    return [_phone(row, taken[row.pk], rows) for row in rows]


def lost_with(workshop: Workshop, ids: Iterable[UUID]) -> dict[str, int]:
    """How much of what these phones wrote never arrived, as far as they ever told."""
    rows = list(_phones(workshop).filter(id__in=list(ids)))
    taken = _taken_after_all(rows)
    found = [_phone(row, taken[row.pk], ()) for row in rows]
    return {
        "entries": sum(max(phone.missing, phone.entries) for phone in found),
        "photos": sum(phone.photos for phone in found),
    }


def _phones(workshop: Workshop) -> QuerySet[Device]:
    phones = workshop.devices.filter(kind=DeviceKind.PHONE)
    # A copied profile has given some numbers twice.
    return phones.annotate(held=Count("entries__n", distinct=True))


def _taken_after_all(rows: Iterable[Device]) -> Counter[UUID]:
    """By phone how many of its numbers were refused first and taken later."""
    refused = {row.pk: set(row.refused_ns) for row in rows if row.refused_ns}
    pairs = Device.objects.filter(
        pk__in=refused, entries__n__in=set().union(*refused.values())
    ).values_list("pk", "entries__n")
    return Counter(pk for pk, n in pairs.distinct() if n in refused[pk])


def _phone(row: Device, taken_after_all: int, all_rows: Sequence[Device]) -> Phone:
    told = row.unsent or {}
    held: int = row.held  # type: ignore[attr-defined]  # annotated above
    return Phone(
        device=row,
        missing=max(0, row.last_n - held - len(row.refused_ns) + taken_after_all),
        entries=int(told.get("entries", 0)),
        photos=int(told.get("photos", 0)),
        walk_ins=int(told.get("walk_ins", 0)),
        oldest_at=parse_datetime(told["oldest_at"]) if told.get("oldest_at") else None,
        successors=tuple(one.name for one in all_rows if str(row.pk) in one.former),
    )
