"""Who may do what: one table of roles, one of places."""

from collections.abc import Callable

import pytest

from shopfloor.journal import permissions
from shopfloor.journal.permissions import NotAllowed, permitted

BOTH = [
    permissions.check_can_work,
    permissions.check_can_take_in,
    permissions.check_can_release,
    permissions.check_can_take_back,
    permissions.check_can_collect,
    permissions.check_can_answer,
    permissions.check_can_enrol,
]
MANAGER_ONLY = [
    permissions.check_can_cancel,
    permissions.check_can_price,
    permissions.check_can_promise,
    permissions.check_can_redact,
    permissions.check_can_set_up,
    permissions.check_can_export,
]


@pytest.mark.parametrize("check", BOTH)
def test_everybody_of_the_workshop_may(check: Callable[[str], None]) -> None:
    assert permitted(check, "manager")
    assert permitted(check, "mechanic")
    assert not permitted(check, "")


@pytest.mark.parametrize("check", MANAGER_ONLY)
def test_only_a_manager_may(check: Callable[[str], None]) -> None:
    assert permitted(check, "manager")
    assert not permitted(check, "mechanic")
    assert not permitted(check, "customer")


def test_every_check_is_in_one_table() -> None:
    checks = {value for name, value in vars(permissions).items() if name.startswith("check_can_")}

    assert checks == {*BOTH, *MANAGER_ONLY}


def test_a_bike_not_to_ride_is_the_managers_to_hand_back() -> None:
    assert permitted(permissions.check_can_release, "manager", mode="not-to-ride")
    assert not permitted(permissions.check_can_release, "mechanic", mode="not-to-ride")


def test_the_phone_of_another_person_is_the_managers_to_enrol() -> None:
    assert permitted(permissions.check_can_enrol, "manager", own=False)
    assert not permitted(permissions.check_can_enrol, "mechanic", own=False)


@pytest.mark.parametrize(
    ("check", "places"),
    [
        (permissions.check_can_release, {"booked", "on the stand", "asking", "parts", "ready"}),
        (permissions.check_can_take_back, {"ready"}),
        (permissions.check_can_collect, {"ready"}),
        (permissions.check_can_cancel, {"booked", "on the stand", "asking", "parts", "ready"}),
        (permissions.check_can_promise, {"booked", "on the stand", "asking", "parts"}),
    ],
)
def test_the_place_of_the_job_decides_too(
    check: Callable[[str, str], None], places: set[str]
) -> None:
    every = {"booked", "on the stand", "asking", "parts", "ready", "collected", "cancelled"}

    assert {place for place in every if permitted(check, "manager", place)} == places


def test_a_refusal_is_a_sentence() -> None:
    with pytest.raises(NotAllowed, match=r"^Only a manager may redact an entry\. Ask one"):
        permissions.check_can_redact("mechanic")
