"""What a phone is given: what it has not got, once, and nothing that it knows already."""

import gzip
import json
from hashlib import sha256
from typing import Any

import pytest
from django.test import Client

from shopfloor.jobs.models import Job, StoredEntry
from shopfloor.jobs.routes import route_sha
from shopfloor.sync.services import page_after
from shopfloor.trade.tables import CATALOGUE
from shopfloor.workshop.instruments import add_instrument
from shopfloor.workshop.models import Workshop
from tests.factories import make_job, make_person, make_workshop
from tests.phone import Phone, enrol_phone, numbers
from tests.routes import make_step, short_route

pytestmark = pytest.mark.django_db
SMALL = 600
OLD_EPOCH = "3f0e9a52-7d9c-4c0e-9b0e-0f6a1f5b2c11"


@pytest.fixture
def job() -> Job:
    return make_job(workshop=make_workshop(), route=short_route())


@pytest.fixture
def phone(job: Job) -> Phone:
    return enrol_phone(person=make_person(workshop=job.workshop))


def seqs(answer: dict[str, Any]) -> list[int]:
    return [row["seq"] for row in answer["entries"]]


def notes(phone: Phone, job: Job, count: int) -> list[dict[str, Any]]:
    return [phone.write(job, "note", {"text": str(place)}) for place in range(count)]


def test_what_was_taken_in_this_request_does_not_come_back(phone: Phone, job: Job) -> None:
    other = enrol_phone(person=phone.person)
    phone.sync()
    other.sync(notes(other, job, 2))

    answer = phone.sync(notes(phone, job, 3))

    assert answer["taken"] == [{"at": 0, "count": 3, "seq": 4}]
    assert (seqs(answer), answer["cursor"], answer["more"]) == ([2, 3], 6, False)


def test_every_letter_comes_back_as_it_was_written(phone: Phone, job: Job) -> None:
    other = enrol_phone(person=phone.person)
    odd = 'back\\slash \\n \\. "quoted", tab\t, line\r\nbreak, \x7f, \u2028, Größe, 🚲'
    entry = phone.write(
        job, "note", {"text": odd, "step": "a'b", "list": [1, 2.5, None, {odd: True}]}
    )

    phone.sync()

    assert [row["entry"] for row in other.sync()["entries"]][-1] == entry


def test_a_batch_of_old_and_new_is_told_in_runs(phone: Phone, job: Job) -> None:
    first, second = notes(phone, job, 3), notes(phone, job, 2)
    phone.sync(first)

    answer = phone.sync([second[0], *first[1:], {"id": "x"}, second[1], first[0]])

    assert answer["taken"] == [
        {"at": 0, "count": 1, "seq": 5},
        {"at": 1, "count": 2, "seq": 3},
        {"at": 4, "count": 1, "seq": 6},
        {"at": 5, "count": 1, "seq": 2},
    ]
    assert [row["at"] for row in answer["refused"]] == [3]


def test_an_entry_that_stands_twice_in_a_batch_has_one_number(phone: Phone, job: Job) -> None:
    (note,) = notes(phone, job, 1)

    assert numbers(phone.sync([note, note])) == {0: 2, 1: 2}


@pytest.mark.parametrize("page", [1, 2, 3, 5, 50])
def test_every_page_covers_the_numbers_up_to_its_cursor(
    phone: Phone, job: Job, page: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever a phone has taken and wherever its cursor stands."""
    monkeypatch.setattr("shopfloor.sync.services.PAGE", page)
    phone.sync(notes(phone, job, 8))
    workshop = Workshop.objects.get(pk=job.workshop_id)
    for cursor in range(10):
        for taken in ([], [9], [4, 5], [2, 3, 4, 9], [1, 2], [5, 9], list(range(2, 10))):
            found = page_after(workshop=workshop, cursor=cursor, taken=taken)
            given = [row["seq"] for row in found.entries]
            new = {number for number in taken if number > cursor}
            upto = range(cursor + 1, found.cursor + 1)
            assert sorted({*given, *(new & set(upto))}) == list(upto)
            assert not new & set(given)
            assert len(given) <= page
            assert found.more == (found.cursor < 9)
            assert found.cursor > cursor or cursor == 9


def test_after_a_restore_a_phone_offers_all_again_and_reads_from_the_beginning(
    phone: Phone, job: Job
) -> None:
    phone.sync(notes(phone, job, 2))

    answer = phone.sync(epoch=OLD_EPOCH)

    assert answer["epoch"] == str(job.workshop.epoch) != OLD_EPOCH
    assert numbers(answer) == {0: 2, 1: 3}
    assert (seqs(answer), answer["cursor"]) == ([1], 3)


def test_numbers_that_a_restored_server_gives_again_are_read_in_the_new_epoch(
    phone: Phone, job: Job
) -> None:
    """The phone's entries are gone from the server, and another phone's have their numbers."""
    lost = notes(phone, job, 2)
    phone.sync(lost)
    StoredEntry.objects.filter(seq__gt=1).delete()
    Workshop.objects.update(last_seq=1, epoch=OLD_EPOCH)
    other = enrol_phone(person=phone.person)
    other.sync(notes(other, job, 2))

    answer = phone.sync(epoch=str(job.workshop.epoch))

    assert answer["epoch"] == OLD_EPOCH
    assert numbers(answer) == {0: 4, 1: 5}
    assert seqs(answer) == [1, 2, 3]


def test_a_restore_that_nobody_told_is_noticed_by_a_phone_that_knows_more(
    phone: Phone, job: Job
) -> None:
    phone.sync(notes(phone, job, 3))
    StoredEntry.objects.filter(seq__gt=2).delete()
    Workshop.objects.update(last_seq=2)
    old = str(job.workshop.epoch)

    answer = phone.sync([], epoch=old)

    assert answer["epoch"] != old
    assert (seqs(answer), answer["cursor"]) == ([1, 2], 2)
    again = phone.sync(epoch=answer["epoch"])
    assert (again["epoch"], numbers(again)) == (answer["epoch"], {0: 2, 1: 3, 2: 4})


def test_a_phone_that_has_all_begins_no_epoch(phone: Phone, job: Job) -> None:
    phone.sync(notes(phone, job, 3))

    answer = phone.sync([], epoch=str(job.workshop.epoch))

    assert (answer["epoch"], answer["cursor"]) == (str(job.workshop.epoch), 4)


def test_the_workshop_comes_only_when_it_is_another_one(phone: Phone) -> None:
    first = phone.sync()
    digest = first["workshop_digest"]
    same = phone.sync([], workshop_digest=digest)
    add_instrument(workshop=phone.device.workshop, name="Small wrench", kind="torque", unit="N·m")
    changed = phone.sync([], workshop_digest=digest)

    assert first["workshop"]["catalogue"] == CATALOGUE
    assert [person["name"] for person in first["workshop"]["people"]] == ["Otto"]
    assert (same["workshop"], same["workshop_digest"]) == (None, digest)
    assert [tool["name"] for tool in changed["workshop"]["instruments"]] == ["Small wrench"]
    assert changed["workshop_digest"] != digest


def test_new_tables_of_the_trade_change_the_digest(
    phone: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    digest = phone.sync()["workshop_digest"]

    monkeypatch.setattr("shopfloor.sync.services.CATALOGUE", "another one")

    assert phone.sync([], workshop_digest=digest)["workshop"]["catalogue"] == "another one"


def test_while_more_comes_in_the_workshop_waits(phone: Phone) -> None:
    answer = phone.sync(more=True, workshop_digest="mine")

    assert (answer["workshop"], answer["workshop_digest"]) == (None, "mine")


def test_routes_are_fetched_once_each_and_their_steps_only_once(phone: Phone, job: Job) -> None:
    longer = [*short_route(), make_step("wash")]
    for route in (longer, longer, short_route()):
        make_job(workshop=job.workshop, route=route)
    elsewhere = make_job(workshop=make_workshop(name="Elsewhere"), route=[make_step("secret")])
    asked = [job.route_sha, route_sha(longer), elsewhere.route_sha, "0" * 64]

    answer = routes(phone, asked)

    steps = answer["steps"]
    found = {sha: [steps[place] for place in places] for sha, places in answer["routes"].items()}
    assert found == {job.route_sha: short_route(), route_sha(longer): longer}
    assert len(steps) == len(longer)


def routes(phone: Phone, asked: list[str]) -> dict[str, Any]:
    headers = {"Authorization": f"Bearer {phone.token}"}
    answer = Client().post("/api/routes", {"routes": asked}, "application/json", headers=headers)
    assert answer.status_code == 200
    return dict(answer.json())


@pytest.mark.parametrize("body", [b"{}", b'{"routes": ["x"]}', b'{"routes": 5}', b"["])
def test_names_that_are_none_are_refused_in_words(phone: Phone, body: bytes) -> None:
    headers = {"Authorization": f"Bearer {phone.token}"}
    answer = Client().post("/api/routes", body, "application/json", headers=headers)

    assert (answer.status_code, answer.json()["code"]) == (400, "bad-request")


def test_nobody_fetches_routes_without_a_token() -> None:
    answer = Client().post("/api/routes", {"routes": []}, "application/json")

    assert (answer.status_code, answer.json()["code"]) == (401, "sign-in")


def test_a_route_is_named_by_its_canonical_text() -> None:
    """As the phone names it: keys in order, 5.0 is 5, letters as they are."""
    text = '[{"a":"Größe","b":5}]'

    assert route_sha([{"b": 5.0, "a": "Größe"}]) == sha256(text.encode()).hexdigest()


def test_a_sync_with_nothing_new_is_small(phone: Phone, job: Job) -> None:
    """Everything that goes over the wire but for what the connection itself adds."""
    known = phone.sync()
    asked = phone.ask(
        epoch=known["epoch"],
        app="0.2 (4f1c2d3e)",
        storage="protected",
        unsent={"entries": 0, "photos": 0, "walk_ins": 0, "oldest_at": None},
        open={"job": str(job.pk), "by": str(phone.person.pk)},
        workshop_digest=known["workshop_digest"],
    )
    body = gzip.compress(json.dumps(asked, separators=(",", ":")).encode())
    headers = {
        "Authorization": f"Bearer {phone.token}",
        "Content-Encoding": "gzip",
        "Accept-Encoding": "gzip",
    }

    answer = Client().post("/api/sync", body, content_type="application/json", headers=headers)

    assert json.loads(gzip.decompress(answer.content))["workshop"] is None
    assert len(body) + len(answer.content) <= SMALL
