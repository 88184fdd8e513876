"""A photo in pieces over a poor line: cut anywhere or sent twice at once, it arrives whole."""

import io
import os
import random
import socket
import threading
from datetime import timedelta
from hashlib import sha256
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.http import HttpResponse
from django.test import Client
from PIL import Image

from shopfloor.jobs import uploads
from shopfloor.jobs.models import Photo
from shopfloor.jobs.photos import photo_path
from tests.factories import NOON, make_person, make_workshop
from tests.phone import Phone, enrol_phone

pytestmark = pytest.mark.django_db
PIECE = 40_000


def picture() -> bytes:
    out = io.BytesIO()
    Image.effect_noise((400, 300), 60).convert("RGB").save(out, "JPEG", quality=95)
    return out.getvalue()


DATA = picture()
NAME = sha256(DATA).hexdigest()


@pytest.fixture
def phone() -> Phone:
    return enrol_phone(person=make_person(workshop=make_workshop()))


def headers(phone: Phone, **more: str) -> dict[str, str]:
    return {"Authorization": f"Bearer {phone.token}"} | more


def patch(
    phone: Phone, offset: int, data: bytes, *, name: str = NAME, length: int | str = len(DATA)
) -> HttpResponse:
    said = {"Upload-Offset": str(offset), "Upload-Length": str(length)}
    return Client().patch(
        f"/api/photos/{name}",
        data,
        content_type="application/octet-stream",
        headers=headers(phone, **said),
    )


def look(phone: Phone, name: str = NAME) -> HttpResponse:
    return Client().head(f"/api/photos/{name}", headers=headers(phone))


def send(phone: Phone, data: bytes = DATA) -> list[int]:
    """As a phone does: from where the server says; answers the statuses."""
    name, statuses = sha256(data).hexdigest(), []
    while (answer := look(phone, name)).status_code == 404:
        offset = int(answer["Upload-Offset"])
        piece = data[offset : offset + PIECE]
        statuses.append(patch(phone, offset, piece, name=name, length=len(data)).status_code)
    return statuses


def pieces_left(settings: Any) -> list[Path]:
    return list((Path(settings.MEDIA_ROOT) / "uploads").glob("*/*"))


def test_a_photo_in_pieces_is_the_same_as_one_sent_whole(phone: Phone, settings: Any) -> None:
    assert look(phone)["Upload-Offset"] == "0"

    statuses = send(phone)

    assert statuses == [204] * -(-len(DATA) // PIECE)
    assert look(phone).status_code == 200
    kept = Client().get(f"/api/photos/{NAME}", headers=headers(phone)).content
    elsewhere = enrol_phone(person=make_person(workshop=make_workshop(), username="sam"))
    Client().put(f"/api/photos/{NAME}", DATA, headers=headers(elsewhere), content_type="image/jpeg")
    assert Client().get(f"/api/photos/{NAME}", headers=headers(elsewhere)).content == kept
    assert pieces_left(settings) == []


def test_after_a_cut_the_phone_goes_on_from_where_it_was(phone: Phone) -> None:
    patch(phone, 0, DATA[:PIECE])

    assert look(phone)["Upload-Offset"] == str(PIECE)
    assert len(send(phone)) == -(-(len(DATA) - PIECE) // PIECE)
    assert look(phone).status_code == 200


def test_a_piece_whose_answer_was_lost_is_not_put_in_twice(phone: Phone) -> None:
    patch(phone, 0, DATA[:PIECE])

    again = patch(phone, 0, DATA[:PIECE])

    assert (again.status_code, again["Upload-Offset"]) == (409, str(PIECE))
    assert "Go on from there" in again.json()["message"]
    send(phone)
    assert Photo.objects.get().sha256 == NAME


@pytest.mark.parametrize("offset", [1, PIECE - 1, PIECE + 1, len(DATA) - 1])
def test_a_piece_that_leaves_a_hole_or_overlaps_is_told_where_it_belongs(
    phone: Phone, offset: int
) -> None:
    patch(phone, 0, DATA[:PIECE])

    answer = patch(phone, offset, b"x")

    assert (answer.status_code, answer["Upload-Offset"]) == (409, str(PIECE))


def test_a_piece_after_the_last_changes_nothing(phone: Phone) -> None:
    send(phone)

    again = patch(phone, 0, DATA[:PIECE])

    assert (again.status_code, again["Upload-Offset"]) == (204, str(len(DATA)))
    assert Photo.objects.count() == 1


def test_what_is_not_what_its_name_says_is_dropped_and_can_be_sent_anew(
    phone: Phone, settings: Any
) -> None:
    answer = patch(phone, 0, bytes(100), length=100)

    assert answer.status_code == 422
    assert "damaged" in answer.json()["message"]
    assert pieces_left(settings) == []
    send(phone)
    assert look(phone).status_code == 200


def test_pieces_longer_than_the_photo_do_not_stand_in_its_way(phone: Phone) -> None:
    patch(phone, 0, bytes(PIECE), length=len(DATA))

    answer = patch(phone, 0, b"short", length=5)

    assert (answer.status_code, answer["Upload-Offset"]) == (409, "0")
    assert look(phone)["Upload-Offset"] == "0"


def test_what_is_no_picture_is_refused_in_words(phone: Phone, settings: Any) -> None:
    data = b"not a picture"

    answer = patch(phone, 0, data, name=sha256(data).hexdigest(), length=len(data))

    assert (answer.status_code, answer.json()["code"]) == (422, "not-a-photo")
    assert pieces_left(settings) == []


def test_a_server_that_went_down_after_the_last_piece_finds_the_photo_whole(
    phone: Phone, settings: Any
) -> None:
    folder = Path(settings.MEDIA_ROOT) / "uploads" / str(phone.device.workshop_id)
    folder.mkdir(parents=True)
    (folder / NAME).write_bytes(DATA)

    assert look(phone).status_code == 200
    assert Photo.objects.get().sha256 == NAME
    assert pieces_left(settings) == []


@pytest.mark.django_db(transaction=True)
def test_the_same_photo_from_two_phones_at_once_is_kept_once(phone: Phone, settings: Any) -> None:
    other = enrol_phone(person=phone.person)
    start, statuses = threading.Barrier(4), []

    def run(which: Phone) -> None:
        start.wait()
        statuses.extend(send(which))
        connection.close()

    threads = [threading.Thread(target=run, args=[which]) for which in (phone, other) * 2]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert set(statuses) <= {204, 409}
    assert Photo.objects.count() == 1
    assert pieces_left(settings) == []
    folder = photo_path(workshop=phone.device.workshop, name=NAME).parent
    assert [path.name for path in folder.iterdir()] == [f"{NAME}.jpg"]


@pytest.mark.parametrize(
    ("said", "status"),
    [
        ({"Upload-Offset": "0"}, 400),
        ({"Upload-Length": "5"}, 400),
        ({"Upload-Offset": "-1", "Upload-Length": "5"}, 400),
        ({"Upload-Offset": "1e3", "Upload-Length": "5"}, 400),
        ({"Upload-Offset": "٣", "Upload-Length": "5"}, 400),
        ({"Upload-Offset": "9" * 30, "Upload-Length": "5"}, 400),
        ({"Upload-Offset": "3", "Upload-Length": "5"}, 400),
        ({"Upload-Offset": "0", "Upload-Length": "0"}, 422),
        ({"Upload-Offset": "0", "Upload-Length": str(10 * 1024 * 1024 + 1)}, 422),
    ],
)
def test_headers_that_do_not_fit_are_refused_in_words(
    phone: Phone, settings: Any, said: dict[str, str], status: int
) -> None:
    answer = Client().patch(
        f"/api/photos/{NAME}",
        b"abc",
        content_type="application/octet-stream",
        headers=headers(phone, **said),
    )

    assert answer.status_code == status
    assert answer.json()["message"]
    assert pieces_left(settings) == []


def test_a_piece_that_is_too_large_is_not_read(phone: Phone) -> None:
    answer = patch(phone, 0, bytes(uploads.MAX_CHUNK + 1))

    assert answer.status_code == 413
    assert "128 kB" in answer.json()["message"]


def test_nobody_but_a_phone_of_the_workshop_sends_pieces(phone: Phone) -> None:
    phone.token = "unknown"

    assert patch(phone, 0, DATA[:PIECE]).status_code == 401
    assert look(phone).status_code == 401


def test_each_workshop_has_its_own_pieces(phone: Phone) -> None:
    sam = enrol_phone(person=make_person(workshop=make_workshop(), username="sam"))
    patch(phone, 0, DATA[:PIECE])

    assert look(sam)["Upload-Offset"] == "0"


@pytest.mark.parametrize("name", ["../../etc/passwd", "A" * 64, "0" * 63, "0" * 64 + ".jpg"])
def test_a_name_that_is_no_hash_is_no_address(phone: Phone, name: str) -> None:
    assert look(phone, name).status_code == 404
    assert not look(phone, name).has_header("Upload-Offset")


def test_pieces_nobody_went_on_with_are_swept(phone: Phone, settings: Any) -> None:
    patch(phone, 0, DATA[:PIECE])
    path = pieces_left(settings)[0]
    os.utime(path, (NOON.timestamp(), NOON.timestamp()))

    assert uploads.sweep(at=NOON + uploads.KEPT - timedelta(seconds=1)) == 0
    assert uploads.sweep(at=NOON + uploads.KEPT + timedelta(seconds=1)) == 1
    assert pieces_left(settings) == []


def test_sweeping_where_nothing_ever_came_is_no_trouble(settings: Any) -> None:
    assert uploads.sweep(at=NOON) == 0


@pytest.mark.parametrize("seed", range(8))
def test_wherever_it_is_cut_it_is_put_together_again(phone: Phone, seed: int) -> None:
    rng = random.Random(seed)
    bounds = sorted({0, len(DATA), *(rng.randrange(1, len(DATA)) for _ in range(6))})

    for start, end in pairwise(bounds):
        for _ in range(rng.choice([1, 2])):
            patch(phone, start, DATA[start:end])

    assert look(phone).status_code == 200
    assert Photo.objects.get().sha256 == NAME


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("arrives", [0, 1, PIECE // 2, PIECE - 1])
def test_a_line_that_breaks_in_the_middle_of_a_piece_costs_no_more_than_that_piece(
    phone: Phone, live_server: Any, arrives: int
) -> None:
    """A real server on a real socket; whatever it made of the half piece, the photo comes whole."""
    host, port = live_server.thread.host, live_server.thread.port
    head = (
        f"PATCH /api/photos/{NAME} HTTP/1.1\r\nHost: {host}:{port}\r\n"
        f"Authorization: Bearer {phone.token}\r\nContent-Type: application/octet-stream\r\n"
        f"Upload-Offset: {PIECE}\r\nUpload-Length: {len(DATA)}\r\nContent-Length: {PIECE}\r\n\r\n"
    )
    patch(phone, 0, DATA[:PIECE])

    with socket.create_connection((host, port)) as line:
        line.sendall(head.encode() + DATA[PIECE : PIECE + arrives])
        line.shutdown(socket.SHUT_WR)
        line.recv(1024)

    assert PIECE <= int(look(phone)["Upload-Offset"]) <= PIECE + arrives
    assert set(send(phone)) == {204}
    assert Photo.objects.get().sha256 == NAME
