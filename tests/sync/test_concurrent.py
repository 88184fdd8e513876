"""Many phones write into one workshop at once, and every one of them gets every number."""

import threading
from dataclasses import dataclass, field
from typing import Any

import pytest
from django.db import connection

from shopfloor.jobs.models import Job, StoredEntry
from shopfloor.workshop.models import Workshop
from tests.factories import make_job, make_person, make_workshop
from tests.phone import Phone, enrol_phone, numbers

WRITERS, BATCHES, SIZE = 8, 6, 5


@dataclass
class Follower:
    """Keeps what a phone has, and finds a hole as the phone does."""

    phone: Phone
    has: set[int] = field(default_factory=set)
    gaps: list[tuple[int, int]] = field(default_factory=list)

    def sync(self, entries: list[dict[str, Any]]) -> dict[str, Any]:
        before = self.phone.cursor
        answer = self.phone.sync(entries)
        taken = set(numbers(answer).values())
        self.has |= taken | {row["seq"] for row in answer["entries"]}
        if not set(range(before + 1, answer["cursor"] + 1)) <= self.has:
            self.gaps.append((before, answer["cursor"]))
        return answer

    def catch_up(self) -> None:
        while self.sync([])["more"]:
            pass


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True)
def test_eight_phones_at_once_lose_nothing_and_leave_no_gap() -> None:
    workshop = make_workshop()
    person = make_person(workshop=workshop)
    jobs = [make_job(workshop=workshop) for _ in range(3)]
    writers = [Follower(enrol_phone(person=person)) for _ in range(WRITERS)]
    reader = Follower(enrol_phone(person=person))
    threads = [threading.Thread(target=write, args=(writer, jobs)) for writer in writers]

    for thread in threads:
        thread.start()
    while any(thread.is_alive() for thread in threads):
        reader.catch_up()
    for follower in (reader, *writers):
        follower.catch_up()

    every = set(range(1, len(jobs) + WRITERS * BATCHES * SIZE + 1))
    assert [follower.gaps for follower in (reader, *writers)] == [[]] * (WRITERS + 1)
    assert [follower.has == every for follower in (reader, *writers)] == [True] * (WRITERS + 1)
    assert set(StoredEntry.objects.values_list("seq", flat=True)) == every
    assert Workshop.objects.get().last_seq == len(every)
    for job in Job.objects.all():
        assert job.folded_seq == job.changed_seq


def write(follower: Follower, jobs: list[Job]) -> None:
    """Batches that touch several jobs, so that writers wait for one another's."""
    try:
        for turn in range(BATCHES):
            job = jobs[turn % len(jobs)]
            batch = [follower.phone.write(job, "note", {"text": "x"}) for _ in range(SIZE - 1)]
            batch.append(follower.phone.write(jobs[0], "note", {"text": "y"}))
            follower.sync(batch)
    finally:
        connection.close()
