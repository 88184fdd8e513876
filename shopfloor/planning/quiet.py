"""
When a message may go out: within the hours in which a customer may be disturbed.

Judges by the customer's own clock; knows nothing of what the message says.
"""

from collections.abc import Collection
from datetime import UTC, date, datetime, time, timedelta
from typing import Final
from zoneinfo import ZoneInfo

LOOK_AHEAD_DAYS: Final = 400


class BadWindow(ValueError):
    """Hours in which nothing can ever be sent."""


def earliest_send(
    now: datetime,
    *,
    tz: str,
    start: time,
    end: time,
    closed_weekdays: Collection[int] = (),
    closed_dates: Collection[date] = (),
) -> datetime:
    """
    The first instant from `now` at which the local clock is in the window of an open day.

    start, end       local; the end itself is too late
    closed_weekdays  1 is Monday, 7 is Sunday

    Where the clock is put forward over the start, the first real instant counts; where it is put
    back, the first time round. Raises BadWindow.
    """
    if start >= end:
        raise BadWindow(f"Messages may go out from {start:%H:%M} to {end:%H:%M}: that is never.")
    zone = ZoneInfo(tz)
    local = now.astimezone(zone)
    for ahead in range(LOOK_AHEAD_DAYS):
        day = local.date() + timedelta(days=ahead)
        if day.isoweekday() in closed_weekdays or day in closed_dates:
            continue
        if ahead == 0 and start <= local.time() < end:
            return now
        found = _start_of_window(day, start, end, zone, now)
        if found is not None:
            return found
    raise BadWindow("No day is open to messages within a year: look at the closed days.")


def _start_of_window(
    day: date, start: time, end: time, zone: ZoneInfo, now: datetime
) -> datetime | None:
    """Where the window of a day begins, if that is still to come."""
    for fold in (0, 1):
        found = _first_real(datetime.combine(day, start, tzinfo=zone).replace(fold=fold), zone)
        if found >= now and start <= found.astimezone(zone).time() < end:
            return found
    return None


def _first_real(local: datetime, zone: ZoneInfo) -> datetime:
    """The instant of a local time; of one the clock skips, the instant at which it skips."""
    instant = local.astimezone(UTC)
    if instant.astimezone(zone).replace(tzinfo=None) == local.replace(tzinfo=None):
        return instant
    before, after = sorted((local.replace(fold=1).astimezone(UTC), instant))
    offset = before.astimezone(zone).utcoffset()
    while after - before > timedelta(seconds=1):
        middle = before + (after - before) // 2
        if middle.astimezone(zone).utcoffset() == offset:
            before = middle
        else:
            after = middle
    return after.replace(microsecond=0)
