"""Otto at the desk on a Monday at noon."""

from collections.abc import Iterator

import pytest
import time_machine
from django.test import Client

from shopfloor.workshop.models import Person
from tests.factories import NOON, make_person, make_workshop


@pytest.fixture(autouse=True)
def _noon() -> Iterator[None]:
    with time_machine.travel(NOON, tick=False):
        yield


@pytest.fixture
def otto(db: None) -> Person:
    return make_person(workshop=make_workshop())


@pytest.fixture
def desk(otto: Person) -> Client:
    client = Client()
    client.force_login(otto)
    return client
