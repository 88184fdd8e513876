"""Phones under a name that is not theirs alone, or that nobody knows: nothing of theirs is lost."""

from copy import deepcopy
from typing import Any
from uuid import UUID

import pytest

from shopfloor.jobs.models import Job, StoredEntry
from shopfloor.jobs.queries import missing_entries
from shopfloor.workshop.models import Device, DeviceKind
from shopfloor.workshop.services import revoke_device, write_off
from tests.factories import NOON, make_job, make_person, make_workshop
from tests.phone import Phone, enrol_phone, numbers
from tests.routes import short_route

pytestmark = pytest.mark.django_db
NOBODYS = "3f0e9a52-7d9c-4c0e-9b0e-0f6a1f5b2c11"


@pytest.fixture
def job() -> Job:
    return make_job(workshop=make_workshop(), route=short_route())


@pytest.fixture
def phone(job: Job) -> Phone:
    return enrol_phone(person=make_person(workshop=job.workshop), name="Bay 2")


def renamed(copy: Phone, answer: dict[str, Any]) -> Phone:
    """The copy under the name it was given."""
    device = Device.objects.get(pk=answer["device"]["id"])
    return Phone(device=device, token=answer["device"]["token"], person=copy.person)


def test_a_copied_phone_is_taken_from_and_given_a_name_of_its_own(phone: Phone, job: Job) -> None:
    copy = deepcopy(phone)
    phone.tick(job, "identify")
    copy.tick(job, "final_check")
    phone.sync()

    answer = copy.sync()

    assert numbers(answer) == {0: 3}
    own = renamed(copy, answer)
    assert (own.device.name, own.device.workshop, own.device.person) == (
        "Bay 2",
        job.workshop,
        phone.person,
    )
    assert own.device.token_hash not in (None, own.token, phone.device.token_hash)
    own.tick(job, "measure_brakes")
    assert numbers(own.sync()) == {0: 4}
    assert phone.sync([])["device"] is None


def test_the_same_request_again_makes_no_further_name(phone: Phone, job: Job) -> None:
    copy = deepcopy(phone)
    phone.tick(job, "identify")
    copy.tick(job, "final_check")
    phone.sync()
    first = copy.sync()

    again = [copy.sync() for _ in range(3)]

    assert [answer["device"] for answer in again] == [None] * 3
    assert [answer["taken"] for answer in again] == [first["taken"]] * 3
    assert Device.objects.filter(kind=DeviceKind.PHONE).count() == 2


def test_a_copy_that_never_heard_its_name_is_given_one_at_its_next_clash(
    phone: Phone, job: Job
) -> None:
    copy = deepcopy(phone)
    for step in ("identify", "final_check"):
        phone.tick(job, step)
    phone.sync()
    copy.tick(job, "identify")
    lost = copy.sync()
    copy.tick(job, "final_check")

    answer = copy.sync()

    assert numbers(answer) == {0: 4, 1: 5}
    assert answer["device"]["id"] != lost["device"]["id"]
    assert copy.sync()["device"] is None


def test_under_its_own_name_a_copy_still_brings_what_it_kept(phone: Phone, job: Job) -> None:
    copy = deepcopy(phone)
    phone.tick(job, "identify")
    phone.sync()
    copy.tick(job, "identify")
    own = renamed(copy, copy.sync())
    left = copy.tick(job, "final_check")

    answer = own.sync([left])

    assert (list(numbers(answer)), answer["device"]) == ([0], None)
    assert StoredEntry.objects.get(id=left["id"]).device == phone.device


def test_a_phone_that_counted_anew_is_given_another_name_too(phone: Phone, job: Job) -> None:
    phone.tick(job, "identify")
    phone.tick(job, "final_check", n=1)

    answer = phone.sync()

    assert (numbers(answer), answer["device"] is not None) == ({0: 2, 1: 3}, True)


def test_a_phone_from_before_the_restore_is_made_known(phone: Phone, job: Job) -> None:
    entry = phone.tick(job, "identify") | {"device": NOBODYS}

    assert numbers(phone.sync([entry])) == {0: 2}

    made = Device.objects.get(pk=NOBODYS)
    assert (made.workshop, made.kind, made.token_hash) == (job.workshop, DeviceKind.PHONE, None)
    assert made.revoked_at is not None
    assert "before the restore" in made.name
    assert StoredEntry.objects.get(id=entry["id"]).device == made


def test_what_such_a_phone_never_sent_can_be_given_up(phone: Phone, job: Job) -> None:
    phone.sync([phone.tick(job, "identify", n=3) | {"device": NOBODYS}])
    assert [gap["ns"] for gap in missing_entries(job)] == [[1, 2]]

    write_off(device=Device.objects.get(pk=NOBODYS), at=NOON)

    assert missing_entries(job) == []


def test_what_was_refused_under_a_name_it_had_is_not_waited_for(phone: Phone, job: Job) -> None:
    bad = phone.tick(job, "identify", by=NOBODYS)
    kept = phone.tick(job, "final_check")
    again = enrol_phone(person=phone.person)
    Device.objects.filter(pk=again.device.pk).update(former=[str(phone.device.pk)])

    answer = again.sync([bad, kept])

    assert [row["code"] for row in answer["refused"]] == ["unknown-person"]
    assert missing_entries(job) == []


def test_nobody_says_of_another_phone_that_it_need_not_be_waited_for(
    phone: Phone, job: Job
) -> None:
    phone.sync([phone.tick(job, "identify", n=2)])
    other = enrol_phone(person=phone.person)

    other.sync([], set_aside=[{"device": str(phone.device.pk), "ns": [1]}])
    other.sync([phone.tick(job, "identify", n=1, by=NOBODYS)])

    assert [gap["ns"] for gap in missing_entries(job)] == [[1]]


def test_nobody_is_made_known_for_an_entry_that_is_refused(phone: Phone, job: Job) -> None:
    bad = phone.tick(job, "identify") | {"device": NOBODYS, "by": NOBODYS}

    assert [row["code"] for row in phone.sync([bad])["refused"]] == ["unknown-person"]
    assert not Device.objects.filter(pk=NOBODYS).exists()


def others(job: Job, phone: Phone) -> dict[str, UUID]:
    """Devices under whose names this phone may not write."""
    sam = make_person(workshop=make_workshop(name="Elsewhere"), username="sam")
    gone = enrol_phone(person=sam).device
    revoke_device(device=gone, at=NOON)
    desk = Device.objects.get(workshop=job.workshop, kind=DeviceKind.DESK)
    return {
        "a phone that still speaks": enrol_phone(person=phone.person).device.pk,
        "another workshop's": gone.pk,
        "the desk": desk.pk,
    }


@pytest.mark.parametrize("who", ["a phone that still speaks", "another workshop's", "the desk"])
def test_nobody_writes_under_the_name_of(phone: Phone, job: Job, who: str) -> None:
    entry = phone.tick(job, "identify") | {"device": str(others(job, phone)[who])}

    answer = phone.sync([entry])

    assert [row["code"] for row in answer["refused"]] == ["other-device"]
    assert answer["refused"][0]["at"] == 0
    assert not StoredEntry.objects.filter(id=entry["id"]).exists()


def test_a_phone_brings_what_it_kept_under_a_name_it_had(phone: Phone, job: Job) -> None:
    kept = phone.tick(job, "identify")
    again = enrol_phone(person=phone.person)
    assert [row["code"] for row in again.sync([kept])["refused"]] == ["other-device"]

    Device.objects.filter(pk=again.device.pk).update(former=[str(phone.device.pk)])

    assert list(numbers(again.sync([kept]))) == [0]
