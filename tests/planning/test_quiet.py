"""Does a message wait for the first minute in which it may go out, and not longer?"""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfloor.planning.quiet import BadWindow, earliest_send

CLOCK_CHANGES = [
    ("Europe/London", datetime(2026, 3, 29, 1, tzinfo=UTC)),
    ("Europe/London", datetime(2026, 10, 25, 1, tzinfo=UTC)),
    ("Australia/Lord_Howe", datetime(2026, 4, 4, 15, tzinfo=UTC)),
    ("America/New_York", datetime(2026, 3, 8, 7, tzinfo=UTC)),
]


@given(
    change=st.sampled_from(CLOCK_CHANGES),
    before=st.integers(-900, 2000),
    start=st.integers(0, 1430),
    length=st.integers(10, 900),
    sunday_shut=st.booleans(),
)
def test_it_goes_out_when_a_walk_over_every_minute_first_lets_it(
    change: tuple[str, datetime], before: int, start: int, length: int, sunday_shut: bool
) -> None:
    tz, changed_at = change
    now = changed_at - timedelta(minutes=before)
    opens = time(start // 60, start % 60)
    last = min(start + length, 1439)
    closes = time(last // 60, last % 60)
    shut = (7,) if sunday_shut else ()

    found = earliest_send(now, tz=tz, start=opens, end=closes, closed_weekdays=shut)

    assert found == walk(now, tz, opens, closes, shut)


def walk(now: datetime, tz: str, start: time, end: time, shut: tuple[int, ...]) -> datetime:
    at = now
    while True:
        local = at.astimezone(ZoneInfo(tz))
        if local.isoweekday() not in shut and start <= local.time() < end:
            return at
        at += timedelta(minutes=1)


def test_a_closed_date_is_passed_over() -> None:
    # Source: gov.uk list of bank holidays: 25 and 28 December 2026.
    found = earliest_send(
        datetime(2026, 12, 24, 21, tzinfo=UTC),
        tz="Europe/London",
        start=time(9),
        end=time(20),
        closed_weekdays=(6, 7),
        closed_dates={date(2026, 12, 25), date(2026, 12, 28)},
    )

    assert found == datetime(2026, 12, 29, 9, tzinfo=UTC)


def test_hours_that_are_never_are_refused() -> None:
    now = datetime(2026, 3, 2, tzinfo=UTC)

    with pytest.raises(BadWindow, match="never"):
        earliest_send(now, tz="Europe/London", start=time(20), end=time(9))
    with pytest.raises(BadWindow, match="closed days"):
        earliest_send(
            now, tz="Europe/London", start=time(9), end=time(20), closed_weekdays=range(1, 8)
        )
