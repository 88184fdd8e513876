"""Does open time add up, over nights, breaks and both changes of the clock?"""

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from shopfloor.planning.opening import BadHours, Calendar, HorizonExceeded
from shopfloor.planning.turnaround import Wait, turnaround

naive = datetime.fromisoformat

WEEK = {
    "tue": [("09:00", "13:00"), ("13:30", "17:30")],
    "wed": [("09:00", "17:30")],
    "fri": [("22:00", "04:00")],
    "sat": [("22:00", "04:00"), ("10:00", "16:00")],
}
LONDON = Calendar(
    tz="Europe/London",
    weekly=WEEK,
    closed=frozenset({date(2026, 3, 31), date(2026, 10, 20)}),
    overrides={date(2026, 3, 30): [("10:00", "12:00")]},
    blocked=[
        (datetime(2026, 4, 1, 10, tzinfo=UTC), datetime(2026, 4, 1, 11, tzinfo=UTC)),
        (datetime(2026, 4, 1, 10, 30, tzinfo=UTC), datetime(2026, 4, 1, 12, tzinfo=UTC)),
    ],
)
# Both nights on which the clock is changed lie in these weeks.
starts = st.one_of(
    st.datetimes(naive("2026-03-26"), naive("2026-04-02"), timezones=st.just(UTC)),
    st.datetimes(naive("2026-10-22"), naive("2026-10-28"), timezones=st.just(UTC)),
).map(lambda at: at.replace(second=0, microsecond=0))
minutes = st.integers(1, 3000)


@given(at=starts, worked=minutes)
# Done at the very minute at which the clock is put forward.
@example(at=datetime(2026, 3, 26, 9, tzinfo=UTC), worked=900)
def test_the_time_between_is_the_time_that_was_added(at: datetime, worked: int) -> None:
    done = LONDON.open_time_add(at, worked)

    assert LONDON.open_time_between(at, done) == worked
    assert LONDON.open_time_between(at, done.astimezone(UTC) - timedelta(minutes=1)) < worked


@given(at=starts, first=minutes, second=minutes)
def test_working_in_two_goes_ends_when_one_go_would(at: datetime, first: int, second: int) -> None:
    in_two = LONDON.open_time_add(LONDON.open_time_add(at, first), second)

    assert in_two == LONDON.open_time_add(at, first + second)


@given(at=starts, hours=st.integers(0, 60))
def test_open_time_is_what_a_walk_over_every_minute_counts(at: datetime, hours: int) -> None:
    until = at + timedelta(hours=hours)
    walked = sum(open_by_the_clock(at + timedelta(minutes=n)) for n in range(hours * 60))

    assert LONDON.open_time_between(at, until) == walked


def open_by_the_clock(at: datetime) -> bool:
    """The same week, told once more from the local clock, minute by minute."""
    local = at.astimezone(LONDON.zone)
    day, clock = local.date(), f"{local:%H:%M}"
    if any(start <= at < end for start, end in LONDON.blocked):
        return False
    today = LONDON.spans_on(day)
    before = LONDON.spans_on(day - timedelta(days=1))
    return any(
        start <= clock < end if start < end else clock >= start for start, end in today
    ) or any(clock < end for start, end in before if end < start)


@given(at=starts)
def test_the_next_opening_is_open_and_nothing_was_open_before(at: datetime) -> None:
    opening = LONDON.next_opening(at)

    assert LONDON.is_open(opening)
    assert LONDON.open_time_between(at, opening) == 0


def test_the_shop_is_open_in_the_hour_that_comes_twice() -> None:
    twice = datetime(2026, 10, 25, 1, 30, tzinfo=UTC).astimezone(LONDON.zone)

    assert twice.fold == 1
    assert LONDON.is_open(twice)


def test_a_shop_that_never_opens_again_says_so() -> None:
    shut = Calendar(tz="Europe/London", weekly={})

    with pytest.raises(HorizonExceeded, match="does not open in the two years from 2 March 2026"):
        shut.next_opening(datetime(2026, 3, 2, tzinfo=UTC))
    with pytest.raises(HorizonExceeded, match="look at opening hours"):
        shut.open_time_add(datetime(2026, 3, 2, tzinfo=UTC), 5)


@pytest.mark.parametrize(
    ("weekly", "says"),
    [
        ({"monday": [("09:00", "17:00")]}, "no day of the week"),
        ({"mon": [("9am", "17:00")]}, "write it as 09:00"),
        ({"mon": [("09:00", "09:00")]}, "are no hours"),
        ({"mon": [("09:00",)]}, "pairs"),
        ({"mon": [("09:61", "17:00")]}, "no time of day"),
    ],
)
def test_hours_nobody_can_read_are_refused_at_once(
    weekly: dict[str, list[tuple[str, ...]]], says: str
) -> None:
    with pytest.raises(BadHours, match=says):
        Calendar(tz="Europe/London", weekly=weekly)


@given(
    received=starts,
    stay=st.integers(60, 6000),
    waits=st.lists(
        st.tuples(
            st.sampled_from(["customer", "parts"]), st.integers(-500, 6000), st.integers(0, 3000)
        ),
        max_size=5,
    ),
)
def test_waits_never_take_more_than_the_stay(
    received: datetime, stay: int, waits: list[tuple[str, int, int]]
) -> None:
    told = [
        Wait(
            kind,
            received + timedelta(minutes=start),
            received + timedelta(minutes=start + length),
        )
        for kind, start, length in waits
    ]

    found = turnaround(
        LONDON, received=received, ready=received + timedelta(minutes=stay), waits=told
    )

    assert 0 <= found.net_open <= found.net_customer_open <= found.gross_open <= found.gross_wall
    assert found.customer_wait_open + found.parts_only_wait_open == pytest.approx(
        found.gross_open - found.net_open
    )
