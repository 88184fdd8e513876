"""A signed-in person makes a phone known to the workshop."""

import pytest
from django.test import Client

from shopfloor.workshop.models import Device, token_hash
from shopfloor.workshop.services import revoke_device
from tests.factories import NOON, make_person, make_workshop
from tests.phone import enrol_phone

pytestmark = pytest.mark.django_db


def test_enrolling_gives_a_token_of_which_only_the_hash_is_kept() -> None:
    person = make_person(workshop=make_workshop())
    client = Client()
    client.force_login(person)

    response = client.post("/api/devices", {"name": "Bay 2"}, content_type="application/json")

    token = response.json()["token"]
    device = Device.objects.get(id=response.json()["device"])
    assert response.status_code == 201
    assert (device.name, device.workshop_id) == ("Bay 2", person.workshop_id)
    assert device.token_hash == token_hash(token) != token


def test_nobody_enrols_without_signing_in() -> None:
    response = Client().post("/api/devices", {}, content_type="application/json")

    assert response.status_code == 401


def test_a_foreign_page_cannot_enrol_a_phone() -> None:
    person = make_person(workshop=make_workshop())
    client = Client(enforce_csrf_checks=True)
    client.force_login(person)

    response = client.post("/api/devices", {"name": "x"}, content_type="application/json")

    assert response.status_code == 403
    assert not Device.objects.exists()


def test_the_page_that_makes_a_phone_known_needs_nobody_and_tells_nothing() -> None:
    make_workshop(name="The Repair Room")

    response = Client().get("/bench/jobs/anything")

    assert response.status_code == 200
    assert "The Repair Room" not in response.text
    assert "/sign-in/?next=/bench/jobs/anything" in response.text
    assert "no-store" in response["Cache-Control"]


def test_on_a_signed_in_phone_it_knows_whose_it_may_become() -> None:
    person = make_person(workshop=make_workshop())
    client = Client()
    client.force_login(person)

    response = client.get("/bench/")

    assert f'data-person="{person.id}"' in response.text
    assert "Make this phone known as Otto" in response.text


def test_a_post_under_bench_never_reaches_the_server_unnoticed() -> None:
    assert Client().post("/bench/jobs/x/ticks").status_code == 405


@pytest.mark.parametrize(
    ("method", "address"),
    [
        ("get", "/api/catalogue"),
        ("put", "/api/walk-ins/00000000-0000-4000-8000-000000000000"),
        ("get", f"/api/photos/{'0' * 64}"),
        ("head", f"/api/photos/{'0' * 64}"),
        ("put", f"/api/photos/{'0' * 64}"),
        ("patch", f"/api/photos/{'0' * 64}"),
    ],
)
def test_a_phone_that_was_signed_out_is_told_so_everywhere(method: str, address: str) -> None:
    phone = enrol_phone(person=make_person(workshop=make_workshop()))
    revoke_device(device=phone.device, at=NOON)

    answer = getattr(Client(), method)(address, headers={"Authorization": f"Bearer {phone.token}"})

    assert answer.status_code == 401
    assert method == "head" or answer.json()["code"] == "revoked"
