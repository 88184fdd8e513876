"""Each task reads the clock and calls one service."""

from datetime import timedelta

import pytest
import time_machine
from django.utils import timezone

from tests.factories import NOON, make_job, make_message, make_workshop
from worker import tasks

pytestmark = pytest.mark.django_db


@pytest.fixture
def job():
    return make_job(workshop=make_workshop())


@time_machine.travel(NOON, tick=False)
def test_a_message_that_is_due_becomes_text_in_the_outbox(job):
    message = make_message(job=job)

    assert tasks.write_due_messages() == 1

    message.refresh_from_db()
    assert (message.state, message.written_at) == ("to-send", NOON)
    assert "moss-green city bike" in message.body


@time_machine.travel(NOON, tick=False)
def test_a_message_for_later_waits(job):
    message = make_message(job=job, not_before=NOON + timedelta(minutes=1))

    assert tasks.write_due_messages() == 0

    message.refresh_from_db()
    assert (message.state, message.body) == ("due", "")


@time_machine.travel(NOON, tick=False)
def test_what_a_dead_worker_had_claimed_is_written_by_the_next(job):
    message = make_message(job=job, state="writing", claimed_at=NOON - timedelta(minutes=5))

    assert tasks.write_due_messages() == 1

    message.refresh_from_db()
    assert message.state == "to-send"


@time_machine.travel(NOON, tick=False)
def test_what_another_worker_is_writing_is_left_alone(job):
    make_message(job=job, state="writing", claimed_at=NOON - timedelta(seconds=5))

    assert tasks.write_due_messages() == 0


def test_pieces_of_a_photo_that_stopped_half_way_are_removed(settings):
    piece = settings.MEDIA_ROOT / "uploads" / "a-workshop" / ("0" * 64)
    piece.parent.mkdir(parents=True)
    piece.write_bytes(b"half")

    with time_machine.travel(timezone.now() + timedelta(days=2), tick=False):
        assert tasks.sweep_uploads() == 0
    with time_machine.travel(timezone.now() + timedelta(days=4), tick=False):
        assert tasks.sweep_uploads() == 1

    assert not piece.exists()
