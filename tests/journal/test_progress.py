"""Does progress along a route come out as the cases state it?"""

from typing import Any

import pytest

from shopfloor.journal.fold import fold
from shopfloor.journal.progress import full_route, progress
from tests.journal.cases import load_cases, parse_all

CASES = load_cases("progress")


def shown(case: dict[str, Any]) -> dict[str, Any]:
    """Progress in the words of the cases."""
    state = fold(parse_all(case["entries"]))
    route = full_route(case["route"], state)
    found = progress(route, state)
    asks = {ask["place"]: ask for step in found["steps"].values() for ask in step["asks"]}
    told = {
        "order": [step["key"] for step in route],
        "status": {key: step["status"] for key, step in found["steps"].items()},
        "early": {key: step["early"] for key, step in found["steps"].items()},
        "again": {key: step["again"] for key, step in found["steps"].items()},
        "verdicts": {place: ask["verdict"] for place, ask in asks.items()},
        "settled": {place: ask["settled"] for place, ask in asks.items()},
        "standing": [
            [one["step"], one["item"], one["phase"], one["verdict"], one["safety"]]
            for one in found["standing"]
        ],
    }
    return {**found, **told}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_a_case_comes_out_as_stated(case: dict[str, Any]) -> None:
    """A case names what it is about: whole values, or single keys of what is told by key."""
    found = shown(case)
    assert case["expected"]

    for name, expected in case["expected"].items():
        if name in ("early", "again", "verdicts", "settled"):
            assert {key: found[name][key] for key in expected} == expected, name
        else:
            assert found[name] == expected, name


def test_every_verdict_has_its_sentence() -> None:
    for case in CASES:
        state = fold(parse_all(case["entries"]))
        for step in progress(full_route(case["route"], state), state)["steps"].values():
            for ask in step["asks"]:
                assert all(head["why"] for head in ask["heads"] if head["kind"] != "photo")
                assert not ask["verdict"] or ask["why"].endswith(".")
