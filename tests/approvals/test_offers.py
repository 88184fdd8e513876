"""Asking the customer and taking the answer, once."""

import threading
from datetime import timedelta

import pytest
from django.db import connection

from shopfloor.approvals import answering, services
from shopfloor.approvals.models import Offer
from shopfloor.handover.services import cancel_job
from shopfloor.jobs.models import StoredEntry
from shopfloor.jobs.queries import state_of
from shopfloor.journal.permissions import NotAllowed
from shopfloor.outbox.models import Message
from shopfloor.promises.services import make_promise
from tests.approvals.conftest import Scene
from tests.factories import NOON


def ask(scene: Scene) -> Offer:
    return services.make_offer(
        job=scene.job, wanted=[scene.pads, scene.lamp], by=scene.otto, at=NOON
    )


def answer(offer: Offer, *choices: str, version: int = 1) -> None:
    lines = [str(line.id) for line in offer.lines.all()]
    answering.answer_offer(
        offer=offer,
        version=version,
        decisions=dict(zip(lines, choices, strict=True)),
        channel="link",
        words="Jana",
        at=NOON + timedelta(hours=1),
    )


def test_a_finding_becomes_a_priced_question(scene: Scene) -> None:
    offer = ask(scene)

    scene.job.refresh_from_db()
    assert services.total_minor(offer) == 2 * 1920  # 20 min of 48.00/h and 20 % VAT
    assert scene.job.place == "asking"
    assert [wait["on"] for wait in scene.job.summary["waits"]] == ["customer"]
    assert Message.objects.get(job=scene.job).purpose == "offer"


def test_a_yes_adds_steps_and_a_no_is_noted(scene: Scene) -> None:
    offer = ask(scene)

    answer(offer, "yes", "no")

    state = state_of(scene.job)
    assert state["answers"] == {scene.pads.finding: "yes", scene.lamp.finding: "no"}
    assert [added["finding"] for added in state["added"]] == [scene.pads.finding]
    assert state["place"] == "on the stand"


def test_a_yes_moves_the_promise_to_the_day_that_was_shown(scene: Scene) -> None:
    early = NOON + timedelta(minutes=5)
    make_promise(job=scene.job, ready_at=early, why="test", by=scene.otto, at=NOON)
    offer = ask(scene)

    answer(offer, "yes", "no")

    scene.job.refresh_from_db()
    assert scene.job.promised_at == offer.ready_after
    assert offer.ready_after is not None
    assert offer.ready_after > early


def test_within_the_agreed_limit_it_is_done_and_told(scene: Scene) -> None:
    scene.job.go_ahead_minor = 1920
    scene.job.save()

    offer = services.make_offer(job=scene.job, wanted=[scene.lamp], by=scene.otto, at=NOON)

    assert (offer.told, offer.state) == (True, "answered")
    assert services.go_ahead_left(scene.job) == 0
    assert Message.objects.get(job=scene.job).purpose == "told"
    assert state_of(scene.job)["asking"] == []


def test_above_the_limit_the_customer_is_asked(scene: Scene) -> None:
    scene.job.go_ahead_minor = 1919
    scene.job.save()

    offer = services.make_offer(job=scene.job, wanted=[scene.lamp], by=scene.otto, at=NOON)

    assert (offer.told, offer.state) == (False, "open")


def test_what_was_asked_is_not_asked_again(scene: Scene) -> None:
    ask(scene)

    with pytest.raises(services.NothingToOffer):
        services.make_offer(job=scene.job, wanted=[scene.lamp], by=scene.otto, at=NOON)


def test_a_withdrawn_question_can_be_asked_anew(scene: Scene) -> None:
    services.withdraw_offer(offer=ask(scene), by=scene.otto, at=NOON)
    scene.job.refresh_from_db()
    assert scene.job.place == "on the stand"
    assert Message.objects.get(job=scene.job).state == "cancelled"

    ask(scene)

    scene.job.refresh_from_db()
    assert scene.job.place == "asking"


def test_an_answer_to_another_version_is_not_taken(scene: Scene) -> None:
    offer = ask(scene)

    with pytest.raises(answering.Changed):
        answer(offer, "yes", "yes", version=2)


def test_a_second_answer_is_told_that_it_is_late(scene: Scene) -> None:
    offer = ask(scene)
    stale = Offer.objects.get(pk=offer.pk)
    answer(offer, "yes", "no")

    with pytest.raises(answering.NotOpen):
        answer(stale, "no", "no")

    assert state_of(scene.job)["answers"][scene.pads.finding] == "yes"


def test_an_answer_leaves_the_text_of_another_question_alone(scene: Scene) -> None:
    first = services.make_offer(job=scene.job, wanted=[scene.pads], by=scene.otto, at=NOON)
    second = services.make_offer(job=scene.job, wanted=[scene.lamp], by=scene.otto, at=NOON)

    answer(first, "yes")

    waiting = Message.objects.get(job=scene.job, state="due")
    assert waiting.link is not None
    assert waiting.link.subject == second.id


def test_a_yes_that_comes_late_promises_what_can_still_be_kept(scene: Scene) -> None:
    offer = ask(scene)
    lines = [str(line.id) for line in offer.lines.all()]
    late = NOON + timedelta(days=4)

    answering.answer_offer(
        offer=offer,
        version=1,
        decisions=dict.fromkeys(lines, "yes"),
        channel="telephone",
        words="Jana",
        at=late,
    )

    scene.job.refresh_from_db()
    assert scene.job.promised_at is not None
    assert scene.job.promised_at > late


@pytest.mark.django_db(transaction=True)
def test_of_two_answers_that_race_one_counts(scene: Scene) -> None:
    offer = ask(scene)
    refused: list[str] = []

    def try_to(choice: str) -> None:
        try:
            answer(Offer.objects.get(pk=offer.pk), choice, choice)
        except answering.NotOpen:
            refused.append(choice)
        finally:
            connection.close()

    threads = [threading.Thread(target=try_to, args=(c,)) for c in ("yes", "no") * 3]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert len(refused) == 5
    assert StoredEntry.objects.filter(job=scene.job, kind="answer").count() == 1


def test_a_job_that_was_cancelled_takes_no_answer(scene: Scene) -> None:
    offer = ask(scene)
    cancel_job(job=scene.job, reason="Changed her mind", by=scene.otto, at=NOON)

    with pytest.raises(answering.NotOpen, match="closed"):
        answer(offer, "yes", "yes")

    assert state_of(scene.job)["added"] == []


def test_an_answer_is_written_down_by_members_only(scene: Scene) -> None:
    offer = ask(scene)
    scene.otto.role = "visitor"

    with pytest.raises(NotAllowed):
        answering.answer_offer(
            offer=offer,
            version=1,
            decisions={str(line.id): "yes" for line in offer.lines.all()},
            channel="telephone",
            words="Jana",
            at=NOON,
            by=scene.otto,
        )
