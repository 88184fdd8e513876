"""The demo tells the same story whenever it is started."""

from collections import Counter
from datetime import UTC, datetime

import pytest
from django.core.management import call_command

from shopfloor.demo.seed import seed_demo, what_to_try
from shopfloor.jobs.models import Job
from shopfloor.outbox.models import Message
from tests.factories import make_person, make_workshop

pytestmark = pytest.mark.django_db

STARTS = {
    "in the middle of a working day": datetime(2026, 11, 30, 11, 0, tzinfo=UTC),
    "a minute before the shop opens": datetime(2026, 11, 30, 8, 59, tzinfo=UTC),
    "in the night the clocks go forward": datetime(2027, 3, 28, 1, 30, tzinfo=UTC),
    "on a bank holiday": datetime(2026, 12, 25, 12, 0, tzinfo=UTC),
}


@pytest.mark.parametrize("now", STARTS.values(), ids=STARTS)
def test_every_place_of_a_job_can_be_seen_whenever_the_demo_starts(now):
    workshop = seed_demo(now=now)

    places = Counter(Job.objects.of(workshop).values_list("place", flat=True))
    assert set(places) == {"booked", "on the stand", "asking", "parts", "ready", "collected"}
    assert Message.objects.of(workshop).filter(state="to-send").exists()
    assert len(what_to_try(workshop)) == 3


def test_a_shop_of_its_own_is_left_alone_and_names_nobody(
    capsys: pytest.CaptureFixture[str],
) -> None:
    make_person(workshop=make_workshop(), username="real-name")

    call_command("seed_demo")

    said = capsys.readouterr().out
    assert "not loaded" in said
    assert "real-name" not in said
