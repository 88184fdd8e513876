"""Can the journal carry what the catalogue makes?"""

from typing import Any

import pytest

from shopfloor.journal.bodies import is_readable
from shopfloor.journal.entry import parse_entry
from shopfloor.journal.fold import fold
from shopfloor.journal.progress import full_route, progress
from shopfloor.trade.added_work import steps_for, tasks
from shopfloor.trade.route import compose
from tests.journal.random_entries import uuid_of

BIKES: list[dict[str, Any]] = [
    {"kind": "city", "brakes": "drum", "gears": "hub"},
    {"kind": "ebike", "brakes": "disc", "hydraulic": True},
    {"kind": "mtb", "suspension": True, "brakes": "disc"},
    {"kind": "road", "brakes": "rim", "carbon": True},
]
KINDS = [bike["kind"] for bike in BIKES]


def route_added(traits: dict[str, Any], task: str | None, title: str) -> dict[str, Any]:
    finding = uuid_of("e", 7)
    steps = steps_for(task, finding_id=finding, title=title, minutes=30, safety=True, traits=traits)
    return {
        "v": 1,
        "id": uuid_of("e", 8),
        "job": uuid_of("a", 1),
        "kind": "route-added",
        "device": uuid_of("c", 1),
        "n": 1,
        "by": uuid_of("b", 1),
        "at": "2026-03-02T10:15:04.123Z",
        "body": {"finding": finding, "title": title, "steps": steps},
        "supersedes": [],
    }


@pytest.mark.parametrize("traits", BIKES, ids=KINDS)
def test_all_added_work_is_readable_and_joins_the_route(traits: dict[str, Any]) -> None:
    route = compose(traits, "standard")
    offered = [(task["key"], task["title"]) for task in tasks(traits)]
    assert offered

    for key, title in [*offered, (None, "Free the bell")]:
        entry = parse_entry(route_added(traits, key, title))
        state = fold([entry])

        assert is_readable("route-added", entry.body), key
        assert len(full_route(route, state)) == len(route) + len(entry.body["steps"]), key


@pytest.mark.parametrize("service", ["safety", "standard", "full"])
@pytest.mark.parametrize("traits", BIKES, ids=KINDS)
def test_a_fresh_route_has_all_of_its_minutes_left(traits: dict[str, Any], service: str) -> None:
    route = compose(traits, service)

    told = progress(route, fold([]))

    assert told["steps_done"] == 0
    assert told["next_step"] == route[0]["key"]
    assert told["minutes_left"] == sum(step["minutes"]["typical"] for step in route) > 0
    assert {step["status"] for step in told["steps"].values()} == {"open"}
