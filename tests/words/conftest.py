"""One job of Jana's, taken in on Monday morning."""

from datetime import timedelta

import pytest

from shopfloor.jobs.models import Job
from shopfloor.workshop.models import Person
from tests.factories import NOON, take_in


@pytest.fixture
def job(otto: Person) -> Job:
    return take_in(by=otto, at=NOON - timedelta(hours=2))
