"""The catalogue as a phone fetches it: whole, packed, and not again while it is the same."""

import gzip
import json

import pytest
from django.http import HttpResponse
from django.test import Client

from shopfloor.trade.catalogue import catalogue
from shopfloor.trade.tables import CATALOGUE
from tests.factories import make_person, make_workshop
from tests.phone import Phone, enrol_phone

pytestmark = pytest.mark.django_db


@pytest.fixture
def phone() -> Phone:
    return enrol_phone(person=make_person(workshop=make_workshop()))


def fetch(phone: Phone, **headers: str) -> HttpResponse:
    own = {"Authorization": f"Bearer {phone.token}"}
    return Client().get("/api/catalogue", headers=own | headers)


def test_a_phone_gets_what_composing_takes(phone: Phone) -> None:
    response = fetch(phone)

    assert response.status_code == 200
    assert response.json() == json.loads(json.dumps(catalogue()))
    assert response.json()["version"] == CATALOGUE


def test_it_comes_packed_where_that_is_understood(phone: Phone) -> None:
    response = fetch(phone, **{"Accept-Encoding": "gzip, br"})

    assert response["Content-Encoding"] == "gzip"
    assert json.loads(gzip.decompress(response.content)) == fetch(phone).json()


@pytest.mark.parametrize("encoding", ["gzip", "identity"])
def test_the_same_catalogue_is_not_sent_twice(phone: Phone, encoding: str) -> None:
    first = fetch(phone, **{"Accept-Encoding": encoding})

    again = fetch(phone, **{"Accept-Encoding": encoding, "If-None-Match": first["ETag"]})

    assert first["ETag"].startswith('"')
    assert (again.status_code, again.content) == (304, b"")


def test_each_packing_has_its_own_name(phone: Phone) -> None:
    packed = fetch(phone, **{"Accept-Encoding": "gzip"})

    assert packed["ETag"] != fetch(phone)["ETag"]
    assert "Accept-Encoding" in packed["Vary"]


def test_nobody_else_gets_it() -> None:
    response = Client().get("/api/catalogue")

    assert response.status_code == 401
    assert response.json()["code"] == "sign-in"
