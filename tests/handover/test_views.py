"""The desk's buttons for letting a bike go."""

import pytest
from django.test import Client
from django.urls import reverse

from shopfloor.jobs.models import Job
from shopfloor.jobs.queries import state_of
from shopfloor.workshop.models import Person
from tests.factories import make_job, make_person
from tests.phone import enrol_phone
from tests.routes import make_step, short_route

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(otto: Person) -> Job:
    """One step that is no safety step: nothing is in the way of letting it go."""
    return make_job(workshop=otto.workshop, route=[make_step("identify")])


def post(desk: Client, name: str, job: Job, **form: str):
    return desk.post(reverse(name, args=[job.id]), form)


def place(job: Job) -> str:
    job.refresh_from_db()
    return job.place


def test_a_bike_is_released_and_its_owner_told(desk: Client, job: Job) -> None:
    answer = desk.post(reverse("job-release", args=[job.id]), {"mode": "safe"}, follow=True)

    assert place(job) == "ready"
    assert job.messages.get().purpose == "pickup"
    assert "Jana is told by text in opening hours." in answer.text


def test_a_refusal_names_every_reason(desk: Client, otto: Person) -> None:
    job = make_job(workshop=otto.workshop, route=short_route())

    answer = post(desk, "job-release", job, mode="safe")

    assert answer.status_code == 422
    assert "“Measure brakes” is a safety step and not done." in answer.text
    assert "needs the agreement of a second person" in answer.text
    assert place(job) == "booked"


def test_handing_back_not_to_ride_wants_a_reason(desk: Client, job: Job) -> None:
    answer = post(desk, "job-release", job, mode="not-to-ride", reason="  ")

    assert answer.status_code == 422
    assert "Write what the owner was told" in answer.text
    assert "a warning, not a waiver" in answer.text


def test_the_reason_is_kept_when_something_else_is_in_the_way(
    desk: Client, job: Job, otto: Person
) -> None:
    mira = make_person(workshop=otto.workshop, username="mira", role="mechanic")
    phone = enrol_phone(person=mira)
    phone.tick(job, "identify")
    phone.n += 1
    phone.sync()

    answer = post(desk, "job-release", job, mode="not-to-ride", reason="The fork is cracked.")

    assert answer.status_code == 422
    assert "has written entries that have not arrived" in answer.text
    assert "The fork is cracked.</textarea>" in answer.text


def test_a_mechanic_cannot_hand_back_an_unsafe_bike(job: Job, otto: Person) -> None:
    client = Client()
    client.force_login(make_person(workshop=otto.workshop, username="mira", role="mechanic"))

    answer = post(client, "job-release", job, mode="not-to-ride", reason="The fork is cracked.")

    assert answer.status_code == 403
    assert "Only a manager may hand back" in answer.text


def test_not_to_ride_is_said_on_the_page(desk: Client, job: Job) -> None:
    post(desk, "job-release", job, mode="not-to-ride", reason="The fork is cracked.")

    text = desk.get(reverse("job", args=[job.id])).text

    assert "It must not be ridden." in text
    assert "The fork is cracked." in text
    assert job.messages.get().purpose == "not-to-ride"


def test_a_release_is_taken_back_and_its_text_stopped(desk: Client, job: Job) -> None:
    post(desk, "job-release", job, mode="safe")

    post(desk, "job-take-back", job, reason="The saddle is loose")

    assert place(job) != "ready"
    assert job.messages.get().state == "cancelled"


def test_a_ready_bike_is_collected_once(desk: Client, job: Job) -> None:
    early = desk.post(reverse("job-collection", args=[job.id]), follow=True)
    post(desk, "job-release", job, mode="safe")
    post(desk, "job-collection", job)

    assert "Only a bike that is ready can be collected" in early.text
    assert place(job) == "collected"


def test_a_job_is_cancelled_with_a_reason_only(desk: Client, job: Job) -> None:
    without = desk.post(reverse("job-cancellation", args=[job.id]), {"reason": " "}, follow=True)
    assert "Write why the job is cancelled." in without.text

    post(desk, "job-cancellation", job, reason="Jana bought another bike")

    assert place(job) == "cancelled"


def test_a_mechanic_cannot_cancel_a_job(job: Job, otto: Person) -> None:
    client = Client()
    client.force_login(make_person(workshop=otto.workshop, username="mira", role="mechanic"))

    answer = client.post(
        reverse("job-cancellation", args=[job.id]), {"reason": "No time"}, follow=True
    )

    assert "Only a manager may cancel a job" in answer.text
    assert place(job) == "booked"


def test_reading_a_page_never_lets_a_bike_go(desk: Client, job: Job) -> None:
    for name in ("job-release", "job-collection", "job-cancellation", "job-take-back"):
        assert desk.get(reverse(name, args=[job.id])).status_code == 405


def test_a_null_character_in_a_reason_is_left_out(desk: Client, job: Job) -> None:
    post(desk, "job-cancellation", job, reason="Changed\0 her mind")

    assert place(job) == "cancelled"
    assert state_of(job)["places"]["cancelled"][0]["body"] == {"reason": "Changed her mind"}
