"""Is a bike let go only when nothing stands against it, and is each reason said?"""

from typing import Any

import pytest

from shopfloor.journal.fold import fold
from shopfloor.journal.progress import full_route
from shopfloor.journal.release import Refusal, release_refusals
from tests.journal.cases import load_cases, parse_all

CASES = load_cases("release")


def refusals_of(case: dict[str, Any]) -> list[Refusal]:
    state = fold(parse_all(case["entries"]))
    route = full_route(case["route"], state)
    return release_refusals(
        route, state, case["missing"], mode=case["mode"], reason=case.get("reason")
    )


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_a_case_is_refused_as_stated(case: dict[str, Any]) -> None:
    refusals = refusals_of(case)

    assert [[one["code"], one["step"]] for one in refusals] == case["expected"]["refusals"]
    if "messages" in case["expected"]:
        assert [one["message"] for one in refusals] == case["expected"]["messages"]


def test_every_code_is_met_by_a_case_and_says_a_sentence() -> None:
    refusals = [one for case in CASES for one in refusals_of(case)]

    assert {one["code"] for one in refusals} == {
        "already",
        "asking",
        "conflict",
        "missing-entries",
        "not-opened",
        "parts",
        "reason",
        "safety-open",
        "second-check",
        "unsafe",
    }
    assert all(one["message"].endswith(".") for one in refusals)
