"""Is the time with hands on the bike counted once, and doubtful time not at all?"""

from typing import Any

import pytest

from shopfloor.journal.entry import Entry, parse_entry
from shopfloor.journal.hands import worked
from tests.journal.random_entries import uuid_of

MIRA, OTTO = uuid_of("b", 1), uuid_of("b", 2)


def entry(number: int, kind: str, at: str, **more: Any) -> Entry:
    raw = {
        "v": 1,
        "id": uuid_of("e", number),
        "job": uuid_of("a", 1),
        "kind": kind,
        "device": uuid_of("c", 1),
        "n": number,
        "by": MIRA,
        "at": f"2026-03-02T{at}:00Z" if len(at) == 5 else at,
        "body": {},
        "supersedes": [],
    }
    return parse_entry({**raw, **more})


def on(number: int, at: str, **more: Any) -> Entry:
    return entry(number, "hands-on", at, **more)


def off(number: int, at: str, of: int, until: str | None = None, **more: Any) -> Entry:
    named = {} if until is None else {"until": f"2026-03-02T{until}:00Z"}
    return entry(number, "hands-off", at, body={"on": uuid_of("e", of), **named}, **more)


def test_a_pair_is_counted() -> None:
    told = worked([on(1, "10:00"), off(2, "10:45", 1)])

    assert told.minutes == {MIRA: 45.0}
    assert [(one.by, one.to_ms - one.from_ms) for one in told.stints] == [(MIRA, 45 * 60_000)]
    assert told.doubtful == 0


def test_each_person_has_own_time() -> None:
    told = worked(
        [on(1, "10:00"), on(2, "10:10", by=OTTO), off(3, "10:30", 1), off(4, "10:20", 2, by=OTTO)]
    )

    assert told.minutes == {MIRA: 30.0, OTTO: 10.0}


def test_the_time_is_of_who_had_the_hands_on() -> None:
    told = worked([on(1, "10:00"), off(2, "10:30", 1, by=OTTO)])

    assert told.minutes == {MIRA: 30.0}


def test_time_on_two_phones_at_once_is_counted_once() -> None:
    told = worked([on(1, "10:00"), on(2, "10:20"), off(3, "10:30", 1), off(4, "11:00", 2)])

    assert told.minutes == {MIRA: 60.0}


def test_a_stint_inside_another_adds_nothing() -> None:
    told = worked([on(1, "10:00"), on(2, "10:20"), off(3, "11:00", 1), off(4, "10:30", 2)])

    assert told.minutes == {MIRA: 60.0}


def test_of_two_ends_the_earlier_counts() -> None:
    told = worked([on(1, "10:00"), off(2, "12:00", 1), off(3, "10:30", 1)])

    assert told.minutes == {MIRA: 30.0}


def test_an_end_that_was_said_later_counts_from_the_time_it_names() -> None:
    assert worked([on(1, "10:00"), off(2, "17:40", 1, until="10:50")]).minutes == {MIRA: 50.0}


def test_of_an_end_on_the_spot_and_one_said_later_the_earlier_counts() -> None:
    told = worked([on(1, "10:00"), off(2, "10:30", 1), off(3, "17:40", 1, until="10:50")])

    assert told.minutes == {MIRA: 30.0}


def test_work_cannot_end_after_it_was_said_to_have_ended() -> None:
    assert worked([on(1, "10:00"), off(2, "10:30", 1, until="11:00")]).minutes == {MIRA: 30.0}


def test_an_end_before_the_start_is_doubtful() -> None:
    told = worked([on(1, "10:00"), off(2, "10:30", 1, until="09:50")])

    assert told.minutes == {}
    assert told.doubtful == 1


@pytest.mark.parametrize("end", ["09:59", "2026-03-02T22:00:01Z", "2026-03-04T10:00:00Z"])
def test_a_doubtful_pair_is_left_out_and_counted_as_such(end: str) -> None:
    told = worked([on(1, "10:00"), off(2, end, 1)])

    assert told.minutes == {}
    assert told.doubtful == 1


def test_twelve_hours_are_still_believed() -> None:
    assert worked([on(1, "10:00"), off(2, "22:00", 1)]).minutes == {MIRA: 720.0}


def test_what_is_open_or_taken_back_is_not_counted() -> None:
    void = entry(3, "void", "10:40", supersedes=[uuid_of("e", 1)])

    assert worked([on(1, "10:00")]).minutes == {}
    assert worked([off(2, "10:30", 1)]).minutes == {}
    assert worked([on(1, "10:00"), off(2, "10:30", 1), void]).minutes == {}


def test_zones_are_heeded() -> None:
    told = worked([on(1, "2026-03-02T10:00:00+01:00"), off(2, "09:30", 1)])

    assert told.minutes == {MIRA: 30.0}
