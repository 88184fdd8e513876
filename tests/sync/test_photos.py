"""Photos: kept by hash, made anew, refused in words."""

import io
from hashlib import sha256

import pytest
from django.test import Client
from PIL import Image

from shopfloor.jobs.models import Photo
from shopfloor.jobs.photos import photo_path
from tests.factories import make_person, make_workshop
from tests.phone import Phone, enrol_phone

pytestmark = pytest.mark.django_db


@pytest.fixture
def phone() -> Phone:
    return enrol_phone(person=make_person(workshop=make_workshop()))


def jpeg(*, size: tuple[int, int] = (40, 30), **facts: object) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", size, (90, 120, 90)).save(out, "JPEG", **facts)
    return out.getvalue()


def put(phone: Phone, data: bytes, name: str | None = None) -> tuple[int, str]:
    address = f"/api/photos/{name or sha256(data).hexdigest()}"
    headers = {"Authorization": f"Bearer {phone.token}"}
    response = Client().put(address, data, content_type="image/jpeg", headers=headers)
    return response.status_code, response.content.decode()


def test_a_photo_is_kept_once_and_shown_again(phone: Phone) -> None:
    data = jpeg()

    assert put(phone, data)[0] == 204
    assert put(phone, data)[0] == 204

    assert Photo.objects.count() == 1
    headers = {"Authorization": f"Bearer {phone.token}"}
    shown = Client().get(f"/api/photos/{sha256(data).hexdigest()}", headers=headers)
    assert (shown.status_code, shown["Content-Type"]) == (200, "image/jpeg")


def test_place_and_comment_do_not_come_along(phone: Phone) -> None:
    exif = Image.Exif()
    exif[0x010E] = "secret description"
    data = jpeg(exif=exif, comment=b"secret comment")

    put(phone, data)

    kept = photo_path(workshop=phone.device.workshop, name=sha256(data).hexdigest()).read_bytes()
    assert b"secret" in data
    assert b"secret" not in kept


def test_a_sideways_photo_is_turned_upright(phone: Phone) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6
    data = jpeg(exif=exif)

    put(phone, data)

    photo = Photo.objects.get()
    assert (photo.width, photo.height) == (30, 40)


@pytest.mark.parametrize(
    "data", [b"", b"not a picture", b"<svg xmlns='http://www.w3.org/2000/svg'/>", jpeg()[:200]]
)
def test_what_is_no_picture_is_refused_in_words(phone: Phone, data: bytes) -> None:
    status, text = put(phone, data)

    assert status == 422
    assert "picture" in text


def test_a_damaged_transfer_is_noticed(phone: Phone) -> None:
    status, text = put(phone, jpeg(), name="0" * 64)

    assert status == 422
    assert "damaged" in text


def test_a_small_file_with_too_many_pixels_is_refused(phone: Phone) -> None:
    out = io.BytesIO()
    Image.new("1", (9000, 9000)).save(out, "PNG")

    status, text = put(phone, out.getvalue())

    assert status == 422
    assert "pixels" in text


def test_another_workshop_sees_nothing(phone: Phone) -> None:
    data = jpeg()
    put(phone, data)
    sam = make_person(workshop=make_workshop(name="Elsewhere"), username="sam")
    client = Client()
    client.force_login(sam)

    assert client.get(f"/api/photos/{sha256(data).hexdigest()}").status_code == 404


def test_a_phone_is_asked_by_its_token_whoever_is_signed_in_beside_it(phone: Phone) -> None:
    data = jpeg()
    put(phone, data)
    elsewhere = Client()
    elsewhere.force_login(make_person(workshop=make_workshop(name="Elsewhere"), username="sam"))
    address = f"/api/photos/{sha256(data).hexdigest()}"

    mine = elsewhere.head(address, headers={"Authorization": f"Bearer {phone.token}"})
    theirs = elsewhere.head(address)

    assert (mine.status_code, theirs.status_code) == (200, 404)


def test_a_photo_too_large_to_be_taken_is_refused_in_words(phone: Phone) -> None:
    status, text = put(phone, b"x" * (12 * 1024 * 1024 + 1))

    assert (status, "larger than 12 MB" in text) == (413, True)


def test_a_photo_lost_from_the_disk_is_taken_again(phone: Phone) -> None:
    data = jpeg()
    name = sha256(data).hexdigest()
    put(phone, data)
    photo_path(workshop=phone.person.workshop, name=name).unlink()

    assert put(phone, data)[0] == 204
    assert photo_path(workshop=phone.person.workshop, name=name).exists()


def test_a_small_one_is_made_once_and_shown_to_phone_and_desk(phone: Phone) -> None:
    data = jpeg(size=(1200, 900))
    put(phone, data)
    address = f"/api/photos/{sha256(data).hexdigest()}?size=small"
    headers = {"Authorization": f"Bearer {phone.token}"}
    desk = Client()
    desk.force_login(phone.person)

    first = Client().get(address, headers=headers)
    again = desk.get(address)

    assert Image.open(io.BytesIO(first.content)).size == (320, 240)
    assert again.content == first.content
    folder = photo_path(workshop=phone.device.workshop, name=sha256(data).hexdigest()).parent
    assert len(list(folder.iterdir())) == 2


def test_a_picture_smaller_than_that_stays_as_it_is(phone: Phone) -> None:
    data = jpeg(size=(40, 30))
    put(phone, data)

    name = sha256(data).hexdigest()
    small = photo_path(workshop=phone.device.workshop, name=name, small=True)

    with Image.open(small) as image:
        assert image.size == (40, 30)


def test_a_small_one_of_what_is_not_here_is_not_here(phone: Phone) -> None:
    headers = {"Authorization": f"Bearer {phone.token}"}

    assert Client().get(f"/api/photos/{'0' * 64}?size=small", headers=headers).status_code == 404


def test_other_ways_of_asking_are_refused_in_words(phone: Phone) -> None:
    answer = Client().delete(f"/api/photos/{'0' * 64}")

    assert answer.status_code == 405
    assert "PATCH" in answer.json()["message"]
