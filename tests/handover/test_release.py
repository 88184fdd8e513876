"""Letting a bike go: refused with reasons, then done, told, collected."""

from datetime import timedelta

import pytest

from shopfloor.handover import services as handover
from shopfloor.jobs.models import Job
from shopfloor.jobs.queries import late_entry_ids, missing_entries, state_of
from shopfloor.journal.permissions import NotAllowed
from shopfloor.outbox.models import Message
from shopfloor.promises.models import Promise
from shopfloor.promises.services import make_promise, move_promise
from shopfloor.workshop import services as workshops
from shopfloor.workshop.models import Person
from tests.factories import NOON, make_job, make_person, make_workshop
from tests.phone import Phone, enrol_phone
from tests.routes import short_route

pytestmark = pytest.mark.django_db


@pytest.fixture
def job() -> Job:
    return make_job(workshop=make_workshop(), route=short_route())


@pytest.fixture
def otto(job: Job) -> Person:
    return make_person(workshop=job.workshop)


@pytest.fixture
def phone(job: Job) -> Phone:
    return enrol_phone(person=make_person(workshop=job.workshop, username="mira", role="mechanic"))


def codes(job: Job, mode: str = "safe") -> set[str]:
    return {refusal["code"] for refusal in handover.refusals_of(job=job, mode=mode)}


def pad(phone: Phone, job: Job, value: float) -> None:
    body = {"step": "measure_brakes", "item": "front-pad", "phase": "found"}
    phone.write(job, "reading", body | {"value": value, "unit": "mm"})


def finish(phone: Phone, job: Job, checker: Person) -> None:
    for step in ("identify", "final_check"):
        phone.tick(job, step)
    pad(phone, job, 2.5)
    body = {"step": "second_person", "outcome": "agreed"}
    phone.write(job, "check", body, by=str(checker.id))
    phone.sync()


def test_an_untouched_job_is_refused_with_reasons(job: Job, otto: Person) -> None:
    with pytest.raises(handover.CannotRelease) as refused:
        handover.release_job(job=job, mode="safe", reason="", by=otto, at=NOON)

    assert {r["code"] for r in refused.value.refusals} >= {"safety-open", "second-check"}
    assert all(r["message"].endswith(".") for r in refused.value.refusals)


def test_nobody_checks_their_own_work(job: Job, phone: Phone) -> None:
    finish(phone, job, checker=phone.person)

    assert codes(job) == {"second-check"}


def test_a_phone_that_owes_entries_stops_the_release(job: Job, phone: Phone, otto: Person) -> None:
    finish(phone, job, checker=otto)
    phone.n += 2
    phone.sync([])

    assert codes(job) == {"missing-entries"}


def test_a_gap_in_the_middle_stops_it_too(job: Job, phone: Phone, otto: Person) -> None:
    phone.n += 1
    finish(phone, job, checker=otto)

    assert codes(job) == {"missing-entries"}


def test_nobody_waits_for_a_phone_that_is_gone_for_good(
    job: Job, phone: Phone, otto: Person
) -> None:
    phone.n += 1
    finish(phone, job, checker=otto)
    with pytest.raises(workshops.StillSignedIn):
        workshops.write_off(device=phone.device, at=NOON)
    workshops.revoke_device(device=phone.device, at=NOON)
    assert codes(job) == {"missing-entries"}

    workshops.write_off(device=phone.device, at=NOON)

    assert codes(job) == set()


def test_two_phones_that_differ_stop_it(job: Job, phone: Phone, otto: Person) -> None:
    finish(phone, job, checker=otto)
    other = enrol_phone(person=phone.person)
    pad(other, job, 1.2)
    other.sync()

    assert "conflict" in codes(job)


def test_a_condemned_pad_stops_it(job: Job, phone: Phone, otto: Person) -> None:
    finish(phone, job, checker=otto)
    held = state_of(job)["places"]["ask:measure_brakes:front-pad:found"][0]["id"]
    pad(phone, job, 0.3)
    phone.kept[-1]["supersedes"] = [held]
    phone.sync()

    assert codes(job) == {"unsafe"}
    assert codes(job, "not-to-ride") == set()


def test_a_finished_bike_is_released_told_and_collected(
    job: Job, phone: Phone, otto: Person
) -> None:
    make_promise(job=job, ready_at=NOON, why="test", by=otto, at=NOON)
    finish(phone, job, checker=otto)

    handover.release_job(job=job, mode="safe", reason="", by=otto, at=NOON)
    job.refresh_from_db()
    assert job.place == "ready"
    assert Message.objects.get(job=job).purpose == "pickup"
    assert Promise.objects.get(job=job).standing == "kept"

    handover.collect_job(job=job, by=otto, at=NOON)
    job.refresh_from_db()
    assert job.place == "collected"


def test_the_pickup_notice_waits_for_opening_hours(job: Job, phone: Phone, otto: Person) -> None:
    finish(phone, job, checker=otto)
    saturday_noon = NOON.replace(day=7)

    handover.release_job(job=job, mode="safe", reason="", by=otto, at=saturday_noon)

    monday_nine = NOON.replace(day=9, hour=9)
    assert Message.objects.get(job=job).not_before == monday_nine


def test_not_to_ride_needs_a_reason_in_writing(job: Job, otto: Person) -> None:
    with pytest.raises(handover.CannotRelease) as refused:
        handover.release_job(job=job, mode="not-to-ride", reason=" ", by=otto, at=NOON)

    assert [r["code"] for r in refused.value.refusals] == ["reason"]


def test_a_mechanic_releases_only_where_the_rules_say(job: Job, phone: Phone, otto: Person) -> None:
    finish(phone, job, checker=otto)
    sam = make_person(workshop=job.workshop, username="sam", role="manager")

    handover.release_job(job=job, mode="safe", reason="", by=sam, at=NOON)
    handover.take_back(job=job, by=sam, at=NOON, reason="Rattles")

    job.refresh_from_db()
    assert job.place == "on the stand"
    assert Message.objects.get(job=job).state == "cancelled"
    with pytest.raises(handover.CannotClose):
        handover.collect_job(job=job, by=sam, at=NOON)


def test_entries_after_the_release_are_kept_and_flagged(
    job: Job, phone: Phone, otto: Person
) -> None:
    finish(phone, job, checker=otto)
    handover.release_job(job=job, mode="safe", reason="", by=otto, at=NOON)
    late = phone.write(job, "note", {"text": "Also oiled the stand"})
    phone.sync()

    assert late_entry_ids(job) == {late["id"]}


def test_a_job_is_cancelled_with_a_reason(job: Job, otto: Person) -> None:
    with pytest.raises(handover.CannotClose):
        handover.cancel_job(job=job, reason="", by=otto, at=NOON)

    handover.cancel_job(job=job, reason="Owner changed her mind", by=otto, at=NOON)

    job.refresh_from_db()
    assert job.place == "cancelled"


def test_somebody_without_the_role_is_told_so(job: Job, otto: Person) -> None:
    otto.role = "visitor"

    with pytest.raises(NotAllowed):
        handover.release_job(job=job, mode="safe", reason="", by=otto, at=NOON)


def test_a_bike_taken_back_has_its_promise_still_to_keep(
    job: Job, phone: Phone, otto: Person
) -> None:
    make_promise(job=job, ready_at=NOON, why="test", by=otto, at=NOON)
    finish(phone, job, checker=otto)
    handover.release_job(job=job, mode="safe", reason="", by=otto, at=NOON)

    handover.take_back(job=job, by=otto, at=NOON, reason="Rattles")
    assert Promise.objects.get(job=job).standing == "open"

    later = NOON + timedelta(hours=3)
    handover.release_job(job=job, mode="safe", reason="", by=otto, at=later)
    assert Promise.objects.get(job=job).standing == "broken"


def test_work_between_two_releases_is_not_late(job: Job, phone: Phone, otto: Person) -> None:
    finish(phone, job, checker=otto)
    handover.release_job(job=job, mode="safe", reason="", by=otto, at=NOON)
    handover.take_back(job=job, by=otto, at=NOON, reason="Rattles")
    phone.write(job, "note", {"text": "The bell was loose"})
    phone.sync()
    assert late_entry_ids(job) == set()

    handover.release_job(job=job, mode="safe", reason="", by=otto, at=NOON)
    assert late_entry_ids(job) == set()


def test_a_closed_bike_is_let_go_by_members_only(job: Job, otto: Person) -> None:
    otto.role = "visitor"

    with pytest.raises(NotAllowed):
        handover.take_back(job=job, by=otto, at=NOON, reason="")
    with pytest.raises(NotAllowed):
        handover.collect_job(job=job, by=otto, at=NOON)


def test_a_wild_count_of_a_phone_names_the_first_missing_numbers(job: Job, phone: Phone) -> None:
    phone.tick(job, "identify")
    phone.sync(last_n=2_000_000_000)

    assert missing_entries(job)[0]["ns"] == list(range(2, 52))


def test_no_text_goes_out_about_a_cancelled_job(job: Job, phone: Phone, otto: Person) -> None:
    finish(phone, job, checker=otto)
    handover.release_job(job=job, mode="safe", reason="", by=otto, at=NOON)

    handover.cancel_job(job=job, reason="Stolen from the rack", by=otto, at=NOON)

    assert Message.objects.get(job=job).state == "cancelled"


def test_a_released_bike_gets_no_text_about_a_later_day(
    job: Job, phone: Phone, otto: Person
) -> None:
    later = NOON + timedelta(days=1)
    move_promise(job=job, ready_at=later, why="Parts", tell=True, by=otto, at=NOON)
    finish(phone, job, checker=otto)

    handover.release_job(job=job, mode="safe", reason="", by=otto, at=NOON)

    states = dict(Message.objects.filter(job=job).values_list("purpose", "state"))
    assert states == {"moved": "cancelled", "pickup": "due"}
    with pytest.raises(NotAllowed, match="ready or gone"):
        move_promise(job=job, ready_at=later, why="Late", tell=False, by=otto, at=NOON)
