"""
When a job can honestly be promised, and why not sooner.

A simple rule: work already promised is shared by the mechanics, then comes the job itself with a
margin, and the promise is the next hour of the day at which bikes are handed over.
"""

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from typing import Final, NamedTuple

from shopfloor.planning.opening import HORIZON_DAYS, Calendar, HorizonExceeded

MARGIN: Final = 0.25
NOON: Final = time(12, 0)
COUNTED: Final = (
    "no one two three four five six seven eight nine ten eleven twelve".split()  # noqa: SIM905
)


class Ready(NamedTuple):
    """A time to promise, the open minutes before work on it starts, and reasons in sentences."""

    ready_at: datetime
    open_minutes_ahead: int
    reasons: list[str]


def ready_at(
    calendar: Calendar,
    *,
    at: datetime,
    minutes_ahead: int,
    own_minutes: int,
    mechanics: int,
    parts_open_days: int = 0,
    closing_margin_minutes: int = 30,
) -> Ready:
    """
    The earliest hand-over time that can be promised.

    minutes_ahead           work on other bikes that comes first, all mechanics together
    own_minutes             work on this one; a quarter is added as margin
    parts_open_days         open days until missing parts are here
    closing_margin_minutes  the last hand-over of a day is so long before closing

    Raises HorizonExceeded.
    """
    ahead = round(minutes_ahead / max(1, mechanics))
    start = calendar.open_time_add(at, ahead)
    if parts_open_days:
        start = max(start, _parts_here(calendar, at, parts_open_days))
    done = calendar.open_time_add(start, own_minutes * (1 + MARGIN))
    promised = _next_hand_over(calendar, done, closing_margin_minutes)
    reasons = [
        *_work_reasons(minutes_ahead, own_minutes, mechanics, parts_open_days),
        *_closed_reasons(calendar, at, promised),
    ]
    return Ready(promised, ahead, reasons)


def _parts_here(calendar: Calendar, at: datetime, open_days: int) -> datetime:
    """The opening of the day by which so many open days have gone by."""
    days = _open_days(calendar, at.astimezone(calendar.zone).date() + timedelta(days=1))
    for _ in range(open_days - 1):
        next(days)
    return calendar.opens_on(next(days))[0][0].astimezone(calendar.zone)


def _open_days(calendar: Calendar, first: date) -> Iterator[date]:
    for ahead in range(HORIZON_DAYS):
        day = first + timedelta(days=ahead)
        if calendar.opens_on(day):
            yield day
    raise HorizonExceeded("The shop does not open in two years: look at hours and closures.")


def _next_hand_over(calendar: Calendar, done: datetime, margin_minutes: int) -> datetime:
    for day in _open_days(calendar, done.date() - timedelta(days=1)):
        for hand_over in _hand_overs(calendar, day, margin_minutes):
            if hand_over >= done:
                return hand_over
    raise HorizonExceeded("The shop does not open in two years: look at hours and closures.")


def _hand_overs(calendar: Calendar, day: date, margin_minutes: int) -> list[datetime]:
    """Noon, if the shop is open around then, and shortly before closing."""
    openings = [
        (start.astimezone(calendar.zone), end.astimezone(calendar.zone))
        for start, end in calendar.opens_on(day)
    ]
    noon = datetime.combine(day, NOON, tzinfo=calendar.zone)
    last_start, closing = openings[-1]
    last = max(last_start, closing - timedelta(minutes=margin_minutes))
    at_noon = [noon] if any(start < noon <= end for start, end in openings) and noon < last else []
    return [*at_noon, last]


def _work_reasons(
    minutes_ahead: int, own_minutes: int, mechanics: int, parts_open_days: int
) -> list[str]:
    reasons = []
    if minutes_ahead > 0:
        stands = _counted(mechanics, "stand")
        reasons.append(f"{duration_words(minutes_ahead)} of work ahead on {stands}.")
    if own_minutes > 0:
        total = round(own_minutes * (1 + MARGIN))
        reasons.append(
            f"This bike takes about {duration_words(own_minutes)};"
            f" {duration_words(total)} are kept free for it."
        )
    if parts_open_days:
        reasons.append(f"Parts take {_counted(parts_open_days, 'open day')}.")
    return reasons


def _closed_reasons(calendar: Calendar, at: datetime, promised: datetime) -> list[str]:
    """Days on the way on which the shop would usually be open and is not."""
    day = at.astimezone(calendar.zone).date()
    reasons = []
    while day <= promised.date():
        usual = Calendar(tz=calendar.tz, weekly=calendar.weekly).spans_on(day)
        if usual and not calendar.spans_on(day):
            reasons.append(_closed_words(calendar, day))
        day += timedelta(days=1)
    return reasons


def _closed_words(calendar: Calendar, day: date) -> str:
    what = "a bank holiday" if day in calendar.closed else "closed"
    name = calendar.names.get(day, "")
    return f"{day:%A} {day.day} {day:%B} is {what}{f': {name}' if name else ''}."


def duration_words(minutes: float) -> str:
    """As a person says it: 45 min, 2 h, 6 h 20 min."""
    hours, rest = divmod(round(minutes), 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def _counted(count: int, noun: str) -> str:
    number = COUNTED[count] if count < len(COUNTED) else str(count)
    return f"{number} {noun}{'' if count == 1 else 's'}"
