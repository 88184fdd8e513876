"""Is a promise made for a time that can be kept, with reasons a customer understands?"""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfloor.planning.bank_holidays import REGIONS, UnknownRegion, bank_holidays
from shopfloor.planning.opening import Calendar
from shopfloor.planning.ready import Ready, duration_words, ready_at

naive = datetime.fromisoformat

LONDON = ZoneInfo("Europe/London")
WEEKLY = {day: [("09:00", "17:30")] for day in ("mon", "tue", "wed", "thu", "fri")}
HOLIDAYS = bank_holidays("GB-ENG", [2026, 2027])
SHOP = Calendar(
    tz="Europe/London",
    weekly=WEEKLY,
    closed=frozenset(HOLIDAYS),
    overrides={date(2026, 3, 4): []},
    names=HOLIDAYS | {date(2026, 3, 4): "stock-taking"},
)


def at(day: int, hour: int, minute: int = 0, month: int = 3) -> datetime:
    return datetime(2026, month, day, hour, minute, tzinfo=LONDON)


def ready(when: datetime, **told: int) -> Ready:
    given = {"minutes_ahead": 0, "own_minutes": 60, "mechanics": 1} | told
    return ready_at(SHOP, at=when, **given)


def test_a_short_job_in_the_morning_is_ready_at_noon() -> None:
    assert ready(at(2, 9)).ready_at == at(2, 12)


def test_what_is_not_done_by_noon_is_ready_before_closing() -> None:
    assert ready(at(2, 11, 30)).ready_at == at(2, 17)


def test_a_promise_near_closing_is_made_for_the_next_noon() -> None:
    assert ready(at(2, 16)).ready_at == at(3, 12)


def test_work_ahead_is_shared_by_the_mechanics() -> None:
    alone = ready(at(2, 9), minutes_ahead=380)
    two = ready(at(2, 9), minutes_ahead=380, mechanics=2)

    assert alone.ready_at == at(2, 17)
    assert two.open_minutes_ahead == 190
    assert two.reasons[0] == "6 h 20 min of work ahead on two stands."


def test_a_quarter_is_kept_free_for_surprises() -> None:
    assert ready(at(2, 9), own_minutes=144).ready_at == at(2, 12)
    assert ready(at(2, 9), own_minutes=145).ready_at == at(2, 17)
    assert "2 h 24 min; 3 h are kept free" in ready(at(2, 9), own_minutes=144).reasons[0]


def test_missing_parts_put_it_off_by_open_days() -> None:
    found = ready(at(2, 9), parts_open_days=2)

    assert found.ready_at == at(5, 12)
    assert "Parts take two open days." in found.reasons
    assert "Wednesday 4 March is closed: stock-taking." in found.reasons


def test_bank_holidays_on_the_way_are_named() -> None:
    # Source: gov.uk list of bank holidays: 28 December 2026 stands in for Boxing Day.
    found = ready(at(24, 15, month=12), own_minutes=240)

    assert found.ready_at == at(29, 12, month=12)
    assert found.reasons[-2] == "Friday 25 December is a bank holiday: Christmas Day."
    assert found.reasons[-1].startswith("Monday 28 December is a bank holiday: Boxing Day")


def test_half_an_hour_before_closing_is_half_an_hour_on_the_night_the_clock_changes() -> None:
    night = Calendar(tz="Europe/London", weekly={"sat": [("22:00", "02:15")]})

    found = ready_at(night, at=at(28, 22), minutes_ahead=0, own_minutes=60, mechanics=1)

    # Closing at 02:15 is 01:15 UTC: the hour before two o'clock does not exist.
    assert found.ready_at == datetime(2026, 3, 29, 0, 45, tzinfo=UTC)
    assert (found.ready_at.hour, found.ready_at.minute) == (0, 45)


@given(
    start=st.datetimes(naive("2026-01-01"), naive("2026-12-31"), timezones=st.just(LONDON)),
    ahead=st.integers(0, 5000),
    own=st.integers(0, 600),
    mechanics=st.integers(1, 4),
    parts=st.integers(0, 5),
)
def test_a_promise_leaves_the_time_it_needs(
    start: datetime, ahead: int, own: int, mechanics: int, parts: int
) -> None:
    found = ready_at(
        SHOP,
        at=start,
        minutes_ahead=ahead,
        own_minutes=own,
        mechanics=mechanics,
        parts_open_days=parts,
    )

    needed = round(ahead / mechanics) + own * 1.25
    assert SHOP.open_time_between(start, found.ready_at) >= needed
    assert (found.ready_at.hour, found.ready_at.minute) in {(12, 0), (17, 0)}
    assert all(reason.endswith(".") for reason in found.reasons)


@pytest.mark.parametrize(("minutes", "words"), [(45, "45 min"), (120, "2 h"), (380, "6 h 20 min")])
def test_a_duration_reads_as_a_person_says_it(minutes: int, words: str) -> None:
    assert duration_words(minutes) == words


@pytest.mark.parametrize("region", REGIONS)
def test_every_region_that_is_offered_has_named_holidays(region: str) -> None:
    found = bank_holidays(region, [2026, 2027])

    assert len(found) >= 10
    assert all(name.isprintable() and name for name in found.values())


def test_names_are_english_whatever_the_region() -> None:
    # Source: Christmas Day is a public holiday in each of these countries.
    for region in ("GB-SCT", "DE-BY", "FR-57", "NL", "DK", "ES-MD", "US-MA", "AU-NSW", "IE"):
        assert "Christmas" in bank_holidays(region, [2026])[date(2026, 12, 25)]


def test_an_unknown_region_is_refused() -> None:
    with pytest.raises(UnknownRegion, match="GB-ENG or DE-BY"):
        bank_holidays("GB-XXX", [2026])
