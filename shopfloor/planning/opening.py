"""
When the shop is open, and when so many minutes of work are done.

Conventions: work ends at the earliest instant by which it can be done, no work is done at once,
other hours for a date beat a closure, closing a date drops the night that starts on it, local
times in a clock change follow RFC 5545, and nothing is looked for past the horizon.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from shopfloor.words import day_and_month
from shopfloor.words import gettext as _

Interval = tuple[datetime, datetime]
Span = Sequence[str]

DAYS: Final = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
HORIZON_DAYS: Final = 731


class BadHours(ValueError):
    """Opening hours that cannot be read."""


class HorizonExceeded(ValueError):
    """The shop is not open long enough within two years."""


@dataclass(frozen=True)
class Calendar:
    """
    weekly     day (mon … sun) to spans of “HH:MM”; a span that ends before it starts runs over
               midnight, “24:00” is the end of the day
    closed     dates on which the shop does not open
    overrides  other hours for a date; an empty list means shut
    blocked    stretches in which nobody works although the shop is open
    names      why a date is not as usual, for people
    """

    tz: str
    weekly: Mapping[str, Sequence[Span]]
    closed: frozenset[date] = frozenset()
    overrides: Mapping[date, Sequence[Span]] = field(default_factory=dict)
    blocked: Sequence[Interval] = ()
    names: Mapping[date, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Refuse hours that cannot be read, before anybody is promised anything."""
        unknown = [day for day in self.weekly if day not in DAYS]
        if unknown:
            raise BadHours(
                _("“{day}” is no day of the week: use {days}.").format(
                    day=unknown[0], days=", ".join(DAYS)
                )
            )
        for spans in (*self.weekly.values(), *self.overrides.values()):
            for span in spans:
                _read_span(span)

    @property
    def zone(self) -> ZoneInfo:
        """The shop's time zone."""
        return ZoneInfo(self.tz)

    def spans_on(self, day: date) -> Sequence[Span]:
        """The opening hours that start on a date."""
        if day in self.overrides:
            return self.overrides[day]
        return () if day in self.closed else self.weekly.get(DAYS[day.weekday()], ())

    def opens_on(self, day: date) -> list[Interval]:
        """The same as instants, in order; a span that a clock change swallows is left out."""
        found = [_instants(day, span, self.zone) for span in self.spans_on(day)]
        return sorted((start, end) for start, end in found if start < end)

    def open_time_add(self, at: datetime, open_minutes: float) -> datetime:
        """
        The earliest instant by which so many minutes of work can be done from `at`.

        Raises HorizonExceeded.
        """
        if open_minutes <= 0:
            return at.astimezone(self.zone)
        left = timedelta(minutes=open_minutes)
        for start, end in self._open_from(at):
            if left <= end - start:
                return (start + left).astimezone(self.zone)
            left -= end - start
        raise HorizonExceeded(
            _(
                "The shop is not open for {open_minutes:g} minutes in the two years from "
                "{day}: look at opening hours and closures."
            ).format(open_minutes=open_minutes, day=_day_words(at.astimezone(self.zone).date()))
        )

    def open_time_between(self, at: datetime, until: datetime) -> float:
        """Open minutes from `at` to `until`; none when `until` is not later."""
        total = timedelta()
        for start, end in self._open_from(at, until=until):
            total += end - start
        return total / timedelta(minutes=1)

    def next_opening(self, at: datetime) -> datetime:
        """The first instant from `at` on which the shop is open. Raises HorizonExceeded."""
        for start, _end in self._open_from(at):
            return start.astimezone(self.zone)
        raise HorizonExceeded(
            _(
                "The shop does not open in the two years from {day}: look at opening "
                "hours and closures."
            ).format(day=_day_words(at.astimezone(self.zone).date()))
        )

    def is_open(self, at: datetime) -> bool:
        """Whether the shop is open at an instant."""
        # In UTC: a second added to a wall clock that is set back tonight may land an hour early.
        instant = at.astimezone(UTC)
        return self.open_time_between(instant, instant + timedelta(seconds=1)) > 0

    def _open_from(self, at: datetime, until: datetime | None = None) -> Iterator[Interval]:
        """Open stretches from `at` on, blocked time taken out, none empty."""
        start_at = at.astimezone(UTC)
        end_at = until.astimezone(UTC) if until else start_at + timedelta(days=HORIZON_DAYS)
        blocked = merge_intervals(self.blocked)
        for opening in _joined(self._days(start_at, end_at)):
            clipped = max(opening[0], start_at), min(opening[1], end_at)
            if clipped[0] < clipped[1]:
                yield from _taken_out(clipped, blocked)

    def _days(self, start_at: datetime, end_at: datetime) -> Iterator[Interval]:
        # A night that began the evening before may still run.
        day = start_at.astimezone(self.zone).date() - timedelta(days=1)
        last = end_at.astimezone(self.zone).date()
        while day <= last:
            yield from self.opens_on(day)
            day += timedelta(days=1)


def merge_intervals(intervals: Sequence[Interval]) -> list[Interval]:
    """The same stretches in UTC, in order, each minute once."""
    return list(_joined(iter(sorted((a.astimezone(UTC), b.astimezone(UTC)) for a, b in intervals))))


def _joined(intervals: Iterator[Interval]) -> Iterator[Interval]:
    """Overlapping and touching stretches as one; they must come in order of their start."""
    current: Interval | None = None
    for start, end in intervals:
        if current is None or start > current[1]:
            if current is not None:
                yield current
            current = (start, end)
        else:
            current = (current[0], max(current[1], end))
    if current is not None:
        yield current


def _taken_out(opening: Interval, blocked: Sequence[Interval]) -> Iterator[Interval]:
    start, end = opening
    for from_at, to_at in blocked:
        if to_at <= start or from_at >= end:
            continue
        if start < from_at:
            yield start, from_at
        start = max(start, to_at)
    if start < end:
        yield start, end


def _read_span(span: Span) -> tuple[int, int]:
    """Minutes after midnight at which a span starts and ends; past 24 h it is the next day."""
    if len(span) != 2:
        raise BadHours(_("Opening hours are pairs of a start and an end, as 09:00 and 17:30."))
    start, end = (_read_clock(text) for text in span)
    if start == end or start >= 24 * 60:
        raise BadHours(
            _("Opening hours from {start} to {end} are no hours: change one.").format(
                start=span[0], end=span[1]
            )
        )
    return start, end if end > start else end + 24 * 60


def _read_clock(text: str) -> int:
    hours, _colon, minutes = str(text).partition(":")
    if hours.isdecimal() and minutes.isdecimal() and len(minutes) == 2:
        total = int(hours) * 60 + int(minutes)
        if int(minutes) < 60 and total <= 24 * 60:
            return total
    raise BadHours(_("“{text}” is no time of day: write it as 09:00.").format(text=text))


def _instants(day: date, span: Span, zone: ZoneInfo) -> Interval:
    start, end = _read_span(span)
    return _instant(day, start, zone), _instant(day, end, zone)


def _instant(day: date, minutes: int, zone: ZoneInfo) -> datetime:
    # Fold 0 is what RFC 5545 asks: the first of two, and the offset before a gap.
    days, rest = divmod(minutes, 24 * 60)
    clock = time(rest // 60, rest % 60)
    return datetime.combine(day + timedelta(days=days), clock, tzinfo=zone).astimezone(UTC)


def _day_words(day: date) -> str:
    return f"{day_and_month(day)} {day.year}"
