"""The worker's sweep: every due message is worded once, and a bad one holds up no other."""

import pytest

from shopfloor.outbox import services as outbox
from tests.factories import NOON, make_job, make_message, make_workshop

pytestmark = pytest.mark.django_db


def test_a_message_that_cannot_be_worded_holds_up_no_other(
    caplog: pytest.LogCaptureFixture,
) -> None:
    job = make_job(workshop=make_workshop())
    bad = make_message(job=job, purpose="no-such")
    good = make_message(job=job)

    assert outbox.write_due_messages(at=NOON) == 1

    good.refresh_from_db()
    bad.refresh_from_db()
    assert (good.state, bad.state) == ("to-send", "writing")
    assert str(bad.pk) in caplog.text


def test_a_claim_that_was_left_behind_is_taken_again() -> None:
    job = make_job(workshop=make_workshop())
    stuck = make_message(job=job, state="writing", claimed_at=NOON - outbox.CLAIM_HOLDS * 2)

    outbox.write_due_messages(at=NOON)

    stuck.refresh_from_db()
    assert stuck.state == "to-send"


def test_what_is_due_later_is_left_for_later() -> None:
    job = make_job(workshop=make_workshop())
    later = make_message(job=job, not_before=NOON + outbox.CLAIM_HOLDS)

    assert outbox.write_due_messages(at=NOON) == 0

    later.refresh_from_db()
    assert later.state == "due"


def test_what_is_taken_back_while_it_is_written_is_not_sent(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    job = make_job(workshop=make_workshop())
    message = make_message(job=job)

    def worded_too_late(*_args: object, **_facts: object) -> str:
        outbox.cancel_messages(job=job, purpose="pickup")
        return "Your bike is ready."

    monkeypatch.setattr(outbox, "write_text", worded_too_late)
    assert outbox.write_due_messages(at=NOON) == 0

    message.refresh_from_db()
    assert (message.state, message.body) == ("cancelled", "")
