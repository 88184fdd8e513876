"""A telephone number that could not be read is put right from the job's page."""

import pytest
from django.test import Client
from django.urls import reverse

from shopfloor.customers.models import Bike, Customer
from shopfloor.jobs.models import Job
from shopfloor.outbox.models import Message
from shopfloor.workshop.models import Person
from tests.factories import make_job, make_message, make_person, make_workshop


@pytest.fixture
def job(otto: Person) -> Job:
    job = make_job(workshop=otto.workshop)
    job.customer.phone_e164, job.customer.phone_typed = "", "ring the café"
    job.customer.save()
    return job


def put_right(desk: Client, job: Job, phone: str):
    return desk.post(reverse("job-number", args=[job.id]), {"phone": phone}, follow=True)


def test_job_page_board_and_outbox_say_that_no_text_arrives(desk: Client, job: Job) -> None:
    make_message(job=job, state="to-send", body="Your bike is ready.")

    page = desk.get(reverse("job", args=[job.id])).text

    assert "“ring the café”, which cannot be dialled" in page
    assert 'href="tel:' not in page
    assert "telephone number to put right" in desk.get(reverse("board")).text
    outbox = desk.get(reverse("outbox")).text
    assert "Put the telephone number right first" in outbox
    assert "sms:" not in outbox


def test_a_number_put_right_reaches_what_waits_to_be_sent(desk: Client, job: Job) -> None:
    message = make_message(job=job, state="to-send", body="Your bike is ready.")

    page = put_right(desk, job, "07700 900999").text

    job.customer.refresh_from_db()
    message.refresh_from_db()
    assert (job.customer.phone_e164, job.customer.phone_typed) == ("+447700900999", "07700 900999")
    assert message.to_e164 == "+447700900999"
    assert "cannot be dialled" not in page
    assert "telephone number to put right" not in desk.get(reverse("board")).text


def test_what_was_sent_keeps_the_number_it_went_to(desk: Client, job: Job) -> None:
    at = job.opened_at
    sent = make_message(job=job, state="sent", sent_at=at, to_e164="")

    put_right(desk, job, "07700 900999")

    assert Message.objects.get(pk=sent.pk).to_e164 == ""


def test_the_number_of_somebody_known_makes_them_the_same_person(desk: Client, job: Job) -> None:
    known = make_job(workshop=job.workshop).customer

    put_right(desk, job, known.phone_typed)

    job.refresh_from_db()
    assert job.customer == known
    assert Bike.objects.get(pk=job.bike_id).customer == known
    assert Customer.objects.count() == 1


def test_the_same_number_in_another_workshop_is_another_person(desk: Client, job: Job) -> None:
    elsewhere = make_job(workshop=make_workshop(name="Elsewhere"))

    put_right(desk, job, elsewhere.customer.phone_typed)

    job.refresh_from_db()
    assert job.customer != elsewhere.customer


def test_a_number_that_is_still_wrong_stays_on_the_form(desk: Client, job: Job) -> None:
    answer = put_right(desk, job, "123")

    assert answer.status_code == 422
    assert "“123” is no complete telephone number" in answer.text
    assert 'value="123"' in answer.text
    assert Customer.objects.get(pk=job.customer_id).phone_typed == "ring the café"


def test_another_workshops_job_is_not_found(job: Job) -> None:
    sam = make_person(workshop=make_workshop(name="Elsewhere"), username="sam")
    client = Client()
    client.force_login(sam)

    assert put_right(client, job, "07700 900999").status_code == 404
