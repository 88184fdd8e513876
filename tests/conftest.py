"""What every test gets: no network but this machine, its own folder for photos, time to think."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

import hypothesis
import pytest
import pytest_socket

if TYPE_CHECKING:
    from django.test import Client
    from playwright.sync_api import Playwright

    from shopfloor.workshop.models import Person

DATABASE_FIXTURES = {"db", "transactional_db", "client", "admin_client", "live_server"}

# How long one example takes says how busy the machine is, and nothing about the code.
hypothesis.settings.register_profile(
    "unhurried", deadline=None, suppress_health_check=[hypothesis.HealthCheck.too_slow]
)
hypothesis.settings.load_profile("unhurried")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what touches the database, so that the run on PostgreSQL can pick those tests."""
    for item in items:
        fixtures = set(getattr(item, "fixturenames", ()))
        if item.get_closest_marker("django_db") or fixtures & DATABASE_FIXTURES:
            item.add_marker(pytest.mark.database)


def pytest_runtest_setup() -> None:
    pytest_socket.socket_allow_hosts(["127.0.0.1", "::1", "localhost"], allow_unix_socket=True)


@pytest.fixture(autouse=True)
def _own_media_folder(request: pytest.FixtureRequest) -> None:
    """Photos of a test go into its own folder."""
    if "database" in request.keywords:
        settings = request.getfixturevalue("settings")
        settings.MEDIA_ROOT = request.getfixturevalue("tmp_path") / "media"


@pytest.fixture
def noon() -> Iterator[None]:
    """It is Monday at noon, and stays so."""
    import time_machine

    from tests.factories import NOON

    with time_machine.travel(NOON, tick=False):
        yield


@pytest.fixture
def otto(db: None) -> "Person":
    """Otto, the manager of a shop of his own."""
    from tests.factories import make_person, make_workshop

    return make_person(workshop=make_workshop())


@pytest.fixture
def desk(otto: "Person") -> "Client":
    """A browser in which Otto is signed in."""
    from django.test import Client

    client = Client()
    client.force_login(otto)
    return client


@pytest.fixture(scope="session")
def playwright() -> Iterator["Playwright"]:
    """Chromium's driver; one thread can have only one."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        yield driver
