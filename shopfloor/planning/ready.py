"""
When a job can honestly be promised, and why not sooner.

A simple rule: work already promised is shared by the mechanics, then comes the job itself with a
margin, and the promise is the next hour of the day at which bikes are handed over.
"""

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from typing import Final, NamedTuple

from shopfloor.planning.opening import HORIZON_DAYS, Calendar, HorizonExceeded
from shopfloor.words import day_and_month, gettext_noop, ngettext, weekday
from shopfloor.words import gettext as _

MARGIN: Final = 0.25
NOON: Final = time(12, 0)
COUNTED: Final = gettext_noop("no one two three four five six seven eight nine ten eleven twelve")


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
        start = max(start, _parts_here(calendar, at, parts_open_days), key=datetime.timestamp)
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
    for _day in range(open_days - 1):
        next(days)
    return calendar.opens_on(next(days))[0][0].astimezone(calendar.zone)


def _open_days(calendar: Calendar, first: date) -> Iterator[date]:
    for ahead in range(HORIZON_DAYS):
        day = first + timedelta(days=ahead)
        if calendar.opens_on(day):
            yield day
    raise HorizonExceeded(_("The shop does not open in two years: look at hours and closures."))


def _next_hand_over(calendar: Calendar, done: datetime, margin_minutes: int) -> datetime:
    for day in _open_days(calendar, done.date() - timedelta(days=1)):
        for hand_over in _hand_overs(calendar, day, margin_minutes):
            if hand_over >= done:
                return hand_over.astimezone(calendar.zone)
    raise HorizonExceeded(_("The shop does not open in two years: look at hours and closures."))


def _hand_overs(calendar: Calendar, day: date, margin_minutes: int) -> list[datetime]:
    """Noon, if the shop is open around then, and shortly before closing; in UTC."""
    openings = calendar.opens_on(day)
    noon = datetime.combine(day, NOON, tzinfo=calendar.zone).astimezone(UTC)
    last_start, closing = openings[-1]
    last = max(last_start, closing - timedelta(minutes=margin_minutes))
    at_noon = [noon] if any(start < noon <= end for start, end in openings) and noon < last else []
    return [*at_noon, last]


def _work_reasons(
    minutes_ahead: int, own_minutes: int, mechanics: int, parts_open_days: int
) -> list[str]:
    reasons = []
    if minutes_ahead > 0:
        stands = ngettext("{number} stand", "{number} stands", mechanics).format(
            number=_number_word(mechanics)
        )
        reasons.append(
            _("{time} of work ahead on {stands}.").format(
                time=duration_words(minutes_ahead), stands=stands
            )
        )
    if own_minutes > 0:
        total = round(own_minutes * (1 + MARGIN))
        reasons.append(
            _("This bike takes about {own}; {kept} are kept free for it.").format(
                own=duration_words(own_minutes), kept=duration_words(total)
            )
        )
    if parts_open_days:
        reasons.append(
            _("Parts take {days}.").format(
                days=ngettext("{number} open day", "{number} open days", parts_open_days).format(
                    number=_number_word(parts_open_days)
                )
            )
        )
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
    what = _("a bank holiday") if day in calendar.closed else _("closed")
    name = calendar.names.get(day, "")
    on = f"{weekday(day)} {day_and_month(day)}"
    if name:
        return _("{day} is {what}: {name}.").format(day=on, what=what, name=name)
    return _("{day} is {what}.").format(day=on, what=what)


def duration_words(minutes: float) -> str:
    """As a person says it: 45 min, 2 h, 6 h 20 min."""
    hours, rest = divmod(round(minutes), 60)
    if not hours:
        return _("{rest} min").format(rest=rest)
    return _("{hours} h {rest} min").format(hours=hours, rest=rest) if rest else f"{hours} h"


def _number_word(count: int) -> str:
    words = _(COUNTED).split()
    return words[count] if count < len(words) else str(count)
