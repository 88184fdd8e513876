"""Turnaround and kept promises of what was handed over."""

from datetime import datetime, timedelta

from shopfloor.board.figures import Figures, figures
from shopfloor.board.waits import Said, waits_of
from shopfloor.jobs.models import Job
from shopfloor.planning.turnaround import Wait
from shopfloor.promises.models import Promise
from shopfloor.workshop.models import Person
from shopfloor.workshop.queries import calendar_of
from tests.factories import NOON, make_job

AT = NOON + timedelta(days=30)


def handed_over(otto: Person, *, opened: datetime, ready: datetime, kept: bool = True) -> Job:
    job = make_job(workshop=otto.workshop, opened_at=opened)
    job.place, job.released_at, job.collected_at = "collected", ready, ready + timedelta(days=1)
    job.save()
    Promise.objects.create(
        job=job, ready_at=ready, why="", made_at=opened, standing="kept" if kept else "broken"
    )
    return job


def told(otto: Person, at: datetime = AT) -> dict[int, Figures]:
    calendar = calendar_of(otto.workshop, on=at.date() - timedelta(days=120))
    return {row.days: row for row in figures(workshop=otto.workshop, calendar=calendar, at=at)}


def test_fewer_than_five_jobs_say_nothing(otto: Person) -> None:
    for _ in range(4):
        handed_over(otto, opened=NOON, ready=NOON + timedelta(days=1))

    assert told(otto)[30].jobs == 4
    assert told(otto)[30].wall_days is None


def test_five_jobs_tell_their_median(otto: Person) -> None:
    for days in (1, 1, 2, 3, 30):
        handed_over(otto, opened=NOON, ready=NOON + timedelta(days=days))

    found = told(otto, at=NOON + timedelta(days=40))[90]

    assert found.wall_days == 2
    # Monday noon to Wednesday noon at 8 h a day with lunch from 13:00: 5 h, 8 h, 3 h
    assert found.net_hours == 16


def test_only_the_period_counts(otto: Person) -> None:
    for days in (1, 50, 80):
        ready = AT - timedelta(days=days + 1)
        handed_over(otto, opened=ready - timedelta(days=1), ready=ready)

    assert {days: row.jobs for days, row in told(otto).items()} == {30: 1, 90: 3}


def test_promises_are_counted_when_the_bike_was_ready(otto: Person) -> None:
    for kept in (True, True, False):
        handed_over(otto, opened=NOON, ready=NOON + timedelta(days=2), kept=kept)

    assert (told(otto)[30].kept, told(otto)[30].promises) == (2, 3)


def at(hour: int) -> datetime:
    return NOON.replace(hour=hour)


def asked(hour: int = 9, **body: object) -> Said:
    return Said("q", "asked", {"offer": "o", "version": 1, "findings": ["f"]} | body, at(hour))


def answer(hour: int, decision: str = "yes") -> Said:
    lines = [{"finding": "f", "decision": decision}]
    return Said("a", "answer", {"offer": "o", "version": 1, "lines": lines}, at(hour))


def finding(**part: object) -> Said:
    return Said("f", "finding", {"parts": [{"name": "Cable"} | part]}, at(8))


def test_the_customer_is_waited_for_from_question_to_answer() -> None:
    assert waits_of([answer(11), asked(9)], until=at(17)) == [Wait("customer", at(9), at(11))]


def test_a_question_without_answer_waits_to_the_end() -> None:
    assert waits_of([asked(9)], until=at(17)) == [Wait("customer", at(9), at(17))]


def test_what_was_only_told_is_no_wait() -> None:
    assert waits_of([asked(9, told=True)], until=at(17)) == []


def test_a_question_taken_back_ends_its_wait() -> None:
    back = Said("w", "withdrawn", {}, at(10), supersedes=("q",))

    assert waits_of([asked(9), back], until=at(17)) == [Wait("customer", at(9), at(10))]


def test_parts_are_waited_for_from_the_yes_until_they_are_in() -> None:
    arrived = Said("p", "parts-in", {"finding": "f"}, at(15))
    entries = [finding(in_stock=False), asked(9), answer(11), arrived]

    assert Wait("parts", at(11), at(15)) in waits_of(entries, until=at(17))


def test_parts_in_stock_or_declined_are_no_wait() -> None:
    in_stock = waits_of([finding(in_stock=True), asked(9), answer(11)], until=at(17))
    declined = waits_of([finding(in_stock=False), asked(9), answer(11, "no")], until=at(17))

    assert {wait.kind for wait in in_stock + declined} == {"customer"}
