"""Several bikes taken in at the same moment: nobody waits for somebody who waits for them."""

import threading
from dataclasses import replace
from functools import partial

import pytest
from django.db import connection

from shopfloor.customers.models import Customer
from shopfloor.intake.numbers import put_number_right
from shopfloor.intake.services import Intake, take_in
from shopfloor.jobs.models import Job
from shopfloor.workshop.models import Person
from tests.factories import NOON, make_job, make_person, make_workshop

WRITERS, TURNS = 4, 8
INTAKE = Intake(
    customer_name="Jana Field",
    phone="",
    email="",
    bike_words="red bike",
    frame_number="",
    traits={"kind": "city"},
    service="safety",
    says="",
    go_ahead_minor=0,
    price_minor=0,
)


def at_once(*works) -> list[Exception]:
    """Run each in a thread of its own; answers what went wrong."""
    start = threading.Barrier(len(works))
    failed: list[Exception] = []

    def run(work) -> None:
        try:
            start.wait()
            work()
        except Exception as problem:
            failed.append(problem)
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=(work,)) for work in works]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return failed


def take_in_some(otto: Person, writer: int) -> None:
    for turn in range(TURNS):
        phone = f"07700 9000{writer}{turn}"
        take_in(workshop=otto.workshop, intake=replace(INTAKE, phone=phone), by=otto, at=NOON)


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True)
def test_bikes_of_new_customers_are_taken_in_at_once() -> None:
    otto = make_person(workshop=make_workshop())

    failed = at_once(*(partial(take_in_some, otto, writer) for writer in range(WRITERS)))

    assert failed == []
    numbers = set(Job.objects.values_list("number", flat=True))
    assert numbers == set(range(1, WRITERS * TURNS + 1))


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True)
def test_two_people_given_the_same_number_at_once_are_one() -> None:
    shop = make_workshop()
    for turn in range(TURNS):
        jobs = [make_job(workshop=shop) for _ in range(2)]
        people = [job.customer for job in jobs]
        Customer.objects.filter(pk__in=[one.pk for one in people]).update(phone_e164="")
        number = f"020 7946 090{turn}"

        failed = at_once(*(partial(put_number_right, customer=one, phone=number) for one in people))

        assert failed == []
        assert Customer.objects.filter(jobs__in=jobs).distinct().count() == 1
