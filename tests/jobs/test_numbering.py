"""The workshop's numbers: without gaps, and never seen out of order."""

import random
import threading
import time
from collections.abc import Callable
from itertools import count
from typing import Any

import pytest
from django.db import connection, transaction

from shopfloor.jobs import services as journal
from shopfloor.jobs.models import Job, StoredEntry
from shopfloor.journal.entry import parse_entry
from shopfloor.workshop.models import Workshop
from tests.factories import NOON, make_job, make_person, make_workshop, take_in
from tests.phone import Phone, enrol_phone

WRITERS, BATCHES, SIZE = 8, 12, 3
FINDING = "00000000-0000-4000-8000-000000000001"


@pytest.mark.django_db(transaction=True)
def test_a_reader_that_follows_the_numbers_misses_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Eight phones write at once, while a reader asks again and again for what is new."""
    assert lost_rows(monkeypatch) == []


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True)
def test_numbers_of_a_plain_sequence_would_be_missed(monkeypatch: pytest.MonkeyPatch) -> None:
    """A later number can be seen before an earlier one; the test above would notice."""
    sequence, lock = count(1), threading.Lock()

    def take(_workshop: Workshop, size: int) -> int:
        # As a sequence does: nobody waits for the end of another one's transaction.
        with lock:
            return [next(sequence) for _ in range(size)][-1]

    monkeypatch.setattr(journal, "_advance", take)

    assert lost_rows(monkeypatch) != []


def lost_rows(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The numbers that were stored and that the reader never saw."""
    workshop = make_workshop()
    person = make_person(workshop=workshop)
    pairs = [(enrol_phone(person=person), make_job(workshop=workshop)) for _ in range(WRITERS)]
    monkeypatch.setattr(journal, "insert_rows", unhurried(journal.insert_rows))
    threads = [threading.Thread(target=_write, args=(workshop, *pair)) for pair in pairs]
    for thread in threads:
        thread.start()
    seen = _follow(workshop, threads)

    stored = StoredEntry.objects.order_by("seq").values_list("seq", flat=True)
    assert list(stored) == list(range(1, WRITERS + WRITERS * BATCHES * SIZE + 1))
    return [seq for seq in stored if seq not in seen]


def unhurried(insert: Callable[..., None]) -> Callable[..., None]:
    """As on a busy server: between numbering and the end of the transaction some time goes by."""
    dice = random.Random(7)

    def insert_slowly(**facts: Any) -> None:
        insert(**facts)
        time.sleep(dice.uniform(0, 0.006))

    return insert_slowly


def _write(workshop: Workshop, phone: Phone, job: Job) -> None:
    try:
        for _ in range(BATCHES):
            batch = [parse_entry(phone.write(job, "note", {"text": "x"})) for _ in range(SIZE)]
            with transaction.atomic():
                journal.lock_jobs(workshop=workshop, ids=[str(job.pk)])
                journal.store(workshop=workshop, entries=batch, at=NOON)
    finally:
        connection.close()


def _follow(workshop: Workshop, threads: list[threading.Thread]) -> set[int]:
    cursor, seen, last_round = 0, set(), False
    while True:
        running = any(thread.is_alive() for thread in threads)
        rows = StoredEntry.objects.filter(workshop=workshop, seq__gt=cursor).order_by("seq")
        page = list(rows.values_list("seq", flat=True))
        seen |= set(page)
        cursor = page[-1] if page else cursor
        if last_round:
            return seen
        last_round = not running
        time.sleep(0.003)


@pytest.mark.django_db
def test_the_desk_numbers_its_own_entries() -> None:
    workshop = make_workshop()
    job = make_job(workshop=workshop)

    first = journal.write_entry(job=job, kind="cancelled", body={}, by=None, at=NOON)
    second = journal.write_entry(job=job, kind="collected", body={}, by=None, at=NOON)

    assert (first.n, second.n) == (2, 3)
    assert first.device == second.device


@pytest.mark.django_db(transaction=True)
def test_two_people_at_the_desk_never_wait_for_each_other() -> None:
    """One takes bikes in, another writes: locked in two orders, PostgreSQL would stop one."""
    otto = make_person(workshop=make_workshop())
    job = take_in(by=otto)
    failed: list[Exception] = []

    def work(step: Callable[[], object]) -> None:
        try:
            for _ in range(15):
                step()
        except Exception as problem:
            failed.append(problem)
        finally:
            connection.close()

    def note() -> None:
        journal.write_entry(job=job, kind="parts-in", body={"finding": FINDING}, by=otto, at=NOON)

    threads = [
        threading.Thread(target=work, args=(step,)) for step in (lambda: take_in(by=otto), note)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert failed == []
    assert Job.objects.count() == 1 + 15
