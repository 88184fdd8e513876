"""Lists know of a job from a cache that follows the entries later; nobody ever sees it behind."""

import re
import threading
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
from django.core.management import call_command
from django.db import connection, transaction
from django.test import Client
from django.urls import reverse

from shopfloor.jobs import services as journal
from shopfloor.jobs.folding import fold_changed, refold
from shopfloor.jobs.models import Job
from shopfloor.jobs.queries import get_job, jobs_of
from shopfloor.outbox.services import give_link, token_of
from shopfloor.promises.services import promise_for_new, promise_with_more
from shopfloor.workshop.models import Person
from tests.factories import NOON, make_job
from tests.phone import Phone, enrol_phone
from tests.routes import short_route
from worker.tasks import fold_changed_jobs

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("noon")]
FINDING = {"title": "Lamp", "reason": "Bare", "minutes": 20, "parts": [], "safety": False}


@pytest.fixture
def phone(otto: Person) -> Phone:
    return enrol_phone(person=otto)


@pytest.fixture
def job(otto: Person) -> Job:
    return make_job(workshop=otto.workshop, route=short_route())


@pytest.fixture
def changed(job: Job, phone: Phone) -> Job:
    """A job that is on the stand, while what is remembered of it says booked."""
    phone.tick(job, "identify")
    phone.write(job, "finding", FINDING)
    phone.write(job, "hands-on", {})
    phone.sync(more=True)
    job.refresh_from_db()
    assert (job.place, job.summary["done"], job.folded_seq < job.changed_seq) == ("booked", 0, True)
    return job


def addresses(job: Job) -> Iterator[str]:
    """Every page that shows a job, or a day that depends on jobs."""
    link = give_link(job=job, purpose="sheet", subject=None, at=NOON, days=30)
    yield from (reverse(name) for name in ("board", "board-live", "jobs", "outbox"))
    yield f"{reverse('jobs')}?find=Jana+Field"
    yield from (reverse(name, args=[job.pk]) for name in ("job", "job-tag", "job-sheet"))
    yield reverse("book-in-ready")
    yield reverse("customer-sheet", args=[token_of(link)])


PAGES = 10


@pytest.mark.parametrize("place", range(PAGES))
def test_no_page_shows_what_is_out_of_date(desk: Client, changed: Job, place: int) -> None:
    make_job(workshop=changed.workshop)  # so that a search finds two and shows a list
    every = list(addresses(changed))
    shown = show(desk, every[place])

    refold(job_ids=[changed.pk])

    assert len(every) == PAGES
    assert shown == show(desk, every[place])


def show(desk: Client, address: str) -> str:
    """The page; the ready day of a bike that is being booked in is asked for by its form."""
    if address == reverse("book-in-ready"):
        answer = desk.post(address, {"kind": "city", "service": "standard"})
    else:
        answer = desk.get(address)
    assert answer.status_code == 200
    return plain(answer.text)


def plain(page: str) -> str:
    """Without the token that is another one each time."""
    return re.sub(r"\b[A-Za-z0-9]{64}\b", "", page)


def test_pages_that_show_a_jobs_place_do_differ(desk: Client, changed: Job) -> None:
    """Otherwise the test above would prove nothing."""
    Job.objects.filter(pk=changed.pk).update(folded_seq=changed.changed_seq)
    pages = [reverse("board"), reverse("jobs"), reverse("book-in-ready")]
    stale = [show(desk, page) for page in pages]
    Job.objects.filter(pk=changed.pk).update(folded_seq=0)

    assert [show(desk, page) != old for page, old in zip(pages, stale, strict=True)] == [True] * 3


def test_a_job_that_is_looked_up_is_as_it_stands(changed: Job) -> None:
    found = get_job(workshop=changed.workshop, job_id=changed.pk)

    assert (found.place, found.summary["done"]) == ("on the stand", 1)


def test_a_list_of_jobs_is_as_they_stand(changed: Job) -> None:
    assert [job.place for job in jobs_of(changed.workshop)] == ["on the stand"]


def test_whoever_decides_by_a_job_has_it_as_it_stands(changed: Job) -> None:
    with transaction.atomic():
        assert journal.lock_job(job=changed).place == "on the stand"


def test_a_promise_counts_the_work_that_is_left(changed: Job) -> None:
    before = promise_for_new(workshop=changed.workshop, own_minutes=60, at=NOON)
    more = promise_with_more(job=changed, extra_minutes=0, wait_for_parts=False, at=NOON)
    changed.refresh_from_db()

    assert before.open_minutes_ahead == changed.summary["minutes_left"] == 30
    assert more.ready_at - NOON < timedelta(days=1)


def test_the_desk_folds_at_once_what_it_writes_and_what_came_before(changed: Job) -> None:
    journal.write_entry(
        job=changed, kind="promise", body={"ready_at": NOON.isoformat()}, by=None, at=NOON
    )

    assert (changed.place, changed.promised_at) == ("on the stand", NOON)
    assert changed.folded_seq == changed.changed_seq


def test_the_worker_folds_what_nobody_has_read(changed: Job) -> None:
    assert fold_changed_jobs() == 1
    assert fold_changed_jobs() == 0

    changed.refresh_from_db()
    assert changed.place == "on the stand"


def test_a_few_jobs_are_folded_in_the_phones_own_request(phone: Phone, otto: Person) -> None:
    jobs = [make_job(workshop=otto.workshop, route=short_route()) for _ in range(6)]
    for few in (jobs[:5], jobs):
        phone.kept.clear()
        for job in few:
            phone.tick(job, "identify")
        phone.sync()
        behind = [job for job in Job.objects.all() if job.folded_seq < job.changed_seq]
        assert len(behind) == (0 if len(few) == 5 else 6)


@pytest.mark.usefixtures("job")
def test_nothing_new_costs_one_small_query(otto: Person, django_assert_num_queries: Any) -> None:
    with django_assert_num_queries(1):
        fold_changed(workshop=otto.workshop)


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True)
def test_whoever_holds_a_job_waits_for_no_other_job(otto: Person, phone: Phone) -> None:
    """Two at the desk, each with one job locked, would wait for each other's for ever."""
    job = make_job(workshop=otto.workshop, route=short_route())
    phone.tick(job, "identify")
    phone.sync(more=True)
    folded: list[int] = []

    def fold_elsewhere() -> None:
        folded.append(fold_changed(workshop=otto.workshop, wait=False))
        connection.close()

    with transaction.atomic():
        Job.objects.select_for_update().get(pk=job.pk)
        other = threading.Thread(target=fold_elsewhere)
        other.start()
        other.join(timeout=20)
        assert (folded, other.is_alive()) == ([0], False)
    assert fold_changed(workshop=otto.workshop) == 1


def test_every_job_can_be_folded_anew(otto: Person, capsys: pytest.CaptureFixture[str]) -> None:
    job, other = (make_job(workshop=otto.workshop) for _ in range(2))
    journal.write_entry(job=job, kind="cancelled", body={"reason": "x"}, by=None, at=NOON)
    Job.objects.update(place="at home", summary={})

    call_command("fold_anew")

    job.refresh_from_db()
    other.refresh_from_db()
    assert (job.place, other.place) == ("cancelled", "booked")
    assert job.summary["total"] == other.summary["total"] == 0
    assert capsys.readouterr().out == "2 jobs read again.\n"
