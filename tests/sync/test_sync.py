"""What a phone may rely on when it speaks to the server."""

import gzip
import json
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.test import Client

from shopfloor.jobs.models import Job, StoredEntry
from shopfloor.jobs.queries import missing_entries
from shopfloor.sync.models import RefusedEntry
from shopfloor.sync.services import Page, page_after
from shopfloor.workshop.models import Workshop
from shopfloor.workshop.services import revoke_device
from tests.factories import NOON, make_job, make_person, make_workshop
from tests.phone import Phone, enrol_phone, numbers
from tests.routes import short_route

pytestmark = pytest.mark.django_db


@pytest.fixture
def job() -> Job:
    return make_job(workshop=make_workshop(), route=short_route())


@pytest.fixture
def phone(job: Job) -> Phone:
    return enrol_phone(person=make_person(workshop=job.workshop))


def test_entries_arrive_and_come_back_to_other_phones(phone: Phone, job: Job) -> None:
    other = enrol_phone(person=phone.person)
    entry = phone.tick(job, "identify")

    answer = phone.sync()

    assert answer["taken"] == [{"at": 0, "count": 1, "seq": 2}]
    assert other.sync()["entries"][1:] == [{"seq": 2, "entry": entry}]
    job.refresh_from_db()
    assert (job.place, job.summary["done"]) == ("on the stand", 1)


def test_the_same_batch_again_changes_nothing(phone: Phone, job: Job) -> None:
    phone.tick(job, "identify")

    first, again = phone.sync(), phone.sync()

    assert again["taken"] == first["taken"]
    assert StoredEntry.objects.filter(kind="tick").count() == 1


def test_old_news_of_one_job_and_fresh_news_of_another_in_one_batch(phone: Phone, job: Job) -> None:
    other = make_job(workshop=job.workshop, route=short_route())
    phone.tick(job, "identify")
    phone.sync()
    phone.tick(other, "identify")

    assert numbers(phone.sync()) == {0: 3, 1: 4}

    other.refresh_from_db()
    assert other.summary["done"] == 1


def test_one_bad_entry_never_blocks_the_rest(phone: Phone, job: Job) -> None:
    good = phone.tick(job, "identify")

    answer = phone.sync(["nonsense", {"id": "x"}, good, None, 7, [], {**good, "n": "many"}])

    assert answer["taken"] == [{"at": 2, "count": 1, "seq": 2}]
    assert [row["at"] for row in answer["refused"]] == [0, 1, 3, 4, 5, 6]
    assert all(row["message"] for row in answer["refused"])
    assert RefusedEntry.objects.count() == 6


def test_a_refused_entry_is_kept_raw_and_only_once(phone: Phone, job: Job) -> None:
    bad = {"id": "not-a-uuid", "text": "Größe"}

    phone.sync([bad])
    phone.sync([bad])

    kept = RefusedEntry.objects.get()
    assert json.loads(kept.raw) == bad


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"kind": "released", "body": {"mode": "safe"}}, "kind-not-allowed"),
        ({"job": "3f0e9a52-7d9c-4c0e-9b0e-0f6a1f5b2c11"}, "unknown-job"),
        ({"by": "3f0e9a52-7d9c-4c0e-9b0e-0f6a1f5b2c11"}, "unknown-person"),
    ],
)
def test_what_a_phone_may_not_write(
    phone: Phone, job: Job, change: dict[str, Any], code: str
) -> None:
    phone.kept.append(phone.tick(job, "identify") | change)
    phone.kept.pop(0)

    assert [row["code"] for row in phone.sync()["refused"]] == [code]


@pytest.mark.parametrize("field", ["id", "body"])
@pytest.mark.parametrize("letter", ["\ud83d", "\x00"])
def test_half_an_emoji_is_refused_in_words_and_blocks_nothing(
    phone: Phone, job: Job, field: str, letter: str
) -> None:
    good = phone.tick(job, "identify")
    bad = {**good, field: {"text": letter} if field == "body" else letter}

    answer = phone.sync([bad, good])

    assert list(numbers(answer)) == [1]
    assert len(answer["refused"]) == RefusedEntry.objects.count() == 1


def test_after_a_new_sign_in_a_phone_brings_what_it_kept_under_its_old_name(
    phone: Phone, job: Job
) -> None:
    kept = phone.tick(job, "identify")
    revoke_device(device=phone.device, at=NOON)
    renewed = enrol_phone(person=phone.person)

    assert list(numbers(renewed.sync([kept]))) == [0]
    assert StoredEntry.objects.get(id=kept["id"]).device == phone.device


def test_another_workshops_job_is_as_unknown_as_none(phone: Phone) -> None:
    elsewhere = make_job(workshop=make_workshop(name="Elsewhere"))
    phone.tick(elsewhere, "identify")

    assert [row["code"] for row in phone.sync()["refused"]] == ["unknown-job"]
    assert len(phone.sync([])["entries"]) == 0


def test_an_id_with_other_content_is_refused(phone: Phone, job: Job) -> None:
    entry = phone.tick(job, "identify")
    phone.sync()

    answer = phone.sync([{**entry, "body": {"step": "identify", "outcome": "open"}}])

    assert [row["code"] for row in answer["refused"]] == ["id-reused"]


def test_unknown_kinds_are_kept(phone: Phone, job: Job) -> None:
    entry = phone.write(job, "smell", {"of": "burning"})

    assert numbers(phone.sync()) == {0: 2}
    assert StoredEntry.objects.get(seq=2).wire == entry


def test_a_cloned_phones_second_use_of_a_number_is_taken(phone: Phone, job: Job) -> None:
    phone.tick(job, "identify")
    phone.tick(job, "final_check", n=1)

    assert numbers(phone.sync()) == {0: 2, 1: 3}


def test_pulling_goes_on_page_by_page_without_gaps(phone: Phone, job: Job) -> None:
    for part in range(5):
        phone.sync([phone.write(job, "note", {"text": f"{part}-{k}"}) for k in range(500)])
    fresh = enrol_phone(person=phone.person)

    seqs, pages, more = [], 0, True
    while more:
        answer = fresh.sync()
        seqs += [row["seq"] for row in answer["entries"]]
        pages, more = pages + 1, answer["more"]

    assert seqs == list(range(1, 2502))
    assert pages == 3


def test_a_new_epoch_makes_a_phone_read_from_the_beginning(phone: Phone, job: Job) -> None:
    phone.tick(job, "identify")
    phone.sync()

    stale = phone.sync([], epoch="3f0e9a52-7d9c-4c0e-9b0e-0f6a1f5b2c11")

    assert [row["seq"] for row in stale["entries"]] == [1, 2]
    assert stale["epoch"] == str(job.workshop.epoch)


def test_a_revoked_phone_is_told_so(phone: Phone, job: Job) -> None:
    phone.device.revoked_at = phone.device.created_at
    phone.device.save()

    response = phone.post(phone.ask())

    assert (response.status_code, response.json()["code"]) == (401, "revoked")
    assert "Sign in again" in response.json()["message"]
    # After a restore the phone must not give up what only it has by now.
    assert response.json()["epoch"] == str(job.workshop.epoch)


def test_an_unknown_token_is_told_to_sign_in(phone: Phone, job: Job) -> None:
    response = phone.post(phone.ask(), token="something else")

    assert (response.status_code, response.json()["code"]) == (401, "sign-in")


BAD_BODIES = {
    "not JSON": b"{",
    "a list": b"[]",
    "nothing": b"",
    "not UTF-8": b"\xff\xfe",
    "deep": b"[" * 200_000,
    "no entries": b"{}",
    "entries not a list": b'{"device": "x", "cursor": 0, "entries": 5}',
}


@pytest.mark.parametrize("body", BAD_BODIES.values(), ids=BAD_BODIES.keys())
def test_a_request_that_cannot_be_read_is_a_400_in_words(phone: Phone, body: bytes) -> None:
    response = phone.post(body)

    assert response.status_code == 400
    assert response.json()["message"]


def test_broken_gzip_is_a_400(phone: Phone) -> None:
    response = phone.post(b"plain", zipped=False)
    assert response.status_code == 400

    zipped = gzip.compress(b"{}")[:-9]
    headers = {"Authorization": f"Bearer {phone.token}", "Content-Encoding": "gzip"}
    broken = Client().post("/api/sync", zipped, content_type="application/json", headers=headers)
    assert broken.status_code == 400


def test_a_huge_body_that_packs_small_is_a_400(phone: Phone) -> None:
    bomb = b'{"entries": "' + b"a" * (9 * 1024 * 1024) + b'"}'

    response = phone.post(bomb)

    assert response.status_code == 400
    assert "8 MB" in response.json()["message"]


def test_a_thousand_entries_fit_into_one_request_and_no_more(phone: Phone, job: Job) -> None:
    for _ in range(1001):
        phone.tick(job, "identify")

    response = phone.post(phone.ask())
    assert (response.status_code, "1000" in response.json()["message"]) == (400, True)
    assert phone.sync(phone.kept[:1000])["taken"] == [{"at": 0, "count": 1000, "seq": 2}]


def test_a_new_job_comes_with_its_header(phone: Phone, job: Job) -> None:
    (header,) = phone.sync()["jobs"]

    assert header["number"] == job.tag
    assert header["customer"] == "Jana"
    assert "hub-gear-oil" in header["tasks"]
    assert "front-rotor" not in header["tasks"]
    assert header["route"] == job.route_sha
    assert "phone" not in json.dumps(header).lower()


def test_the_last_visit_of_a_bike_is_told_in_the_shops_time(job: Job) -> None:
    job.workshop.timezone = "Pacific/Auckland"
    late = datetime(2026, 3, 2, 23, tzinfo=UTC)
    Job.objects.filter(pk=job.pk).update(collected_at=late)
    again = make_job(workshop=job.workshop, opened_at=late + timedelta(days=200))
    Job.objects.filter(pk=again.pk).update(bike=job.bike)
    job.workshop.save(update_fields=["timezone"])

    headers = {row["number"]: row for row in _page(job).jobs}

    assert headers[again.tag]["history"] == f"Last here 3 March 2026, {job.tag}."
    assert headers[job.tag]["history"] == ""


def test_headers_cost_the_same_few_queries_for_many_jobs(
    job: Job, django_assert_num_queries: Any
) -> None:
    for _ in range(5):
        make_job(workshop=job.workshop)

    # The workshop, entries, jobs, earlier visits.
    with django_assert_num_queries(4):
        assert len(_page(job).jobs) == 6


def _page(job: Job) -> Page:
    workshop = Workshop.objects.get(pk=job.workshop_id)
    return page_after(workshop=workshop, cursor=0)


@pytest.mark.parametrize("facts", [{"last_n": 10**30}, {"cursor": 10**30}, {"last_n": -1}])
def test_a_count_no_column_holds_is_a_400_in_words(phone: Phone, facts: dict[str, int]) -> None:
    response = phone.post(phone.ask([], **facts))

    assert response.status_code == 400
    assert "not complete" in response.json()["message"]


def test_a_refused_entry_is_not_waited_for(phone: Phone, job: Job) -> None:
    phone.tick(job, "identify")
    bad = phone.write(job, "note", {"text": "x" * 40_000})

    assert [row["id"] for row in phone.sync()["refused"]] == [bad["id"]]
    assert missing_entries(job) == []


def test_a_restored_server_is_told_what_need_not_be_waited_for(phone: Phone, job: Job) -> None:
    phone.write(job, "note", {"text": "refused before the restore"})
    later = phone.tick(job, "identify")
    shown = [{"device": str(phone.device.pk), "ns": [1]}]

    phone.sync([later])
    assert [gap["ns"] for gap in missing_entries(job)] == [[1]]
    phone.sync([], set_aside=shown)
    assert missing_entries(job) == []


def test_two_rows_of_one_refusal_break_no_later_sync(phone: Phone, job: Job) -> None:
    phone.sync([{"id": "x"}])
    row = RefusedEntry.objects.get()
    row.pk = None
    row.save()

    assert len(phone.sync([{"id": "x"}])["refused"]) == 1
