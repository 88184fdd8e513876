"""
Does added work join every route in an order that can be worked in, and bring what it undoes?

What undoes what is common practice of the trade; where there is a standard, it is named.
"""

from collections.abc import Iterable
from graphlib import TopologicalSorter
from typing import Any
from uuid import UUID

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfloor.journal.entry import MAX_BODY_BYTES
from shopfloor.journal.values import canonical_json
from shopfloor.trade.added_work import steps_for, tasks
from shopfloor.trade.fields import FIELDS, KINDS
from shopfloor.trade.route import SERVICES, STAGES, Step, compose, edges_of, merge
from shopfloor.trade.tables import table

Bike = dict[str, Any]

BIKES = st.fixed_dictionaries(
    {"kind": st.sampled_from(KINDS)},
    optional={
        field.key: st.sampled_from([value for value, _ in field.options])
        for field in FIELDS
        if field.key != "kind"
    },
)


def closure(pairs: Iterable[tuple[str, str]]) -> set[tuple[str, str]]:
    """Every (before, after) that follows from the pairs. Raises graphlib.CycleError."""
    sorter: TopologicalSorter[str] = TopologicalSorter()
    nearest: dict[str, set[str]] = {}
    for before, after in pairs:
        sorter.add(after, before)
        nearest.setdefault(after, set()).add(before)
    earlier: dict[str, set[str]] = {}
    for key in sorter.static_order():
        own = nearest.get(key, set())
        earlier[key] = own.union(*(earlier[one] for one in own))
    return {(before, after) for after, found in earlier.items() for before in found}


def agree(key: str, bike: Bike, route: list[Step], n: int = 1, minutes: int = 30) -> list[Step]:
    return steps_for(
        key,
        finding_id=str(UUID(int=n)),
        title=key,
        minutes=minutes,
        safety=False,
        traits=bike,
        route=[step["key"] for step in route],
    )


@st.composite
def jobs(draw: st.DrawFn) -> tuple[Bike, str, list[list[Step]]]:
    """A bike, its service, and the steps of work that was agreed one after the other."""
    bike, service = draw(BIKES), draw(st.sampled_from(list(SERVICES)))
    keys = draw(st.lists(st.sampled_from([task["key"] for task in tasks(bike)]), max_size=4))
    route, added = compose(bike, service), []
    for n, key in enumerate(keys, start=1):
        added.append(agree(key, bike, route, n))
        route = merge(route, added[-1])
    return bike, service, added


def whole(bike: Bike, service: str, added: list[list[Step]]) -> list[Step]:
    return merge(compose(bike, service), [step for steps in added for step in steps])


@settings(max_examples=150, deadline=None)
@given(job=jobs())
def test_no_step_waits_for_itself_and_every_step_comes_after_what_it_needs(job: Any) -> None:
    order = [step["key"] for step in whole(*job)]
    place = {key: at for at, key in enumerate(order)}
    pairs = [(a, b) for a, b in edges_of(whole(*job)) if a in place and b in place]

    assert all(place[a] < place[b] for a, b in closure(pairs))


@settings(max_examples=150, deadline=None)
@given(job=jobs())
def test_a_lighter_route_with_added_work_never_goes_against_the_full_one(job: Any) -> None:
    bike, _, _ = job
    full = closure(edges_of(compose(bike, "full")))
    place = {step["key"]: at for at, step in enumerate(whole(*job))}
    stages = [STAGES.index(step["stage"]) for step in whole(*job)]

    assert all(place[a] < place[b] for a, b in full if a in place and b in place)
    assert stages == sorted(stages)


@settings(max_examples=100, deadline=None)
@given(bike=BIKES, service=st.sampled_from(list(SERVICES)))
def test_leaving_steps_out_loses_no_order(bike: Bike, service: str) -> None:
    """What comes before another on the full route does so on a lighter one, and only that."""
    light = compose(bike, service)
    full = closure(edges_of(compose(bike, "full")))
    kept = {step["key"] for step in light}

    assert closure(edges_of(light)) == {(a, b) for a, b in full if {a, b} <= kept}


@settings(max_examples=150, deadline=None)
@given(job=jobs())
def test_what_work_undoes_comes_after_it(job: Any) -> None:
    place = {step["key"]: at for at, step in enumerate(whole(*job))}

    for step in (step for steps in job[2] for step in steps):
        for one in step.get("reopens", ()):
            assert place[step["key"]] < place[one["key"]]
            assert one["because"]


@settings(max_examples=100, deadline=None)
@given(bike=BIKES, service=st.sampled_from(list(SERVICES)), data=st.data())
def test_agreed_work_fits_into_an_entry_and_needs_no_other_bike(
    bike: Bike, service: str, data: st.DataObject
) -> None:
    full = {step["key"]: step for step in compose(bike, "full")}
    task = data.draw(st.sampled_from(tasks(bike)))
    steps = agree(task["key"], bike, compose(bike, service), minutes=task["minutes"])

    assert len(canonical_json({"steps": steps}).encode()) < MAX_BODY_BYTES * 0.8
    for one in (one for step in steps for one in step.get("reopens", ())):
        asked = {ask["item"] for ask in full[one["key"]]["asks"]}
        assert one["key"] in full
        assert "items" not in one or asked & set(one["items"])


KINDS_OF_WORK = {row["key"]: row for row in table("added_work")}


@pytest.mark.parametrize("key", KINDS_OF_WORK)
def test_every_task_names_steps_that_there_are_and_says_why(key: str) -> None:
    known = {row["key"] for row in table("steps")}

    for step in KINDS_OF_WORK[key]["steps"]:
        after = dict(step["after"])
        undone = {name: because for name, because, *_ in step["reopens"]}
        assert {name for name in after if not name.startswith("@")} <= known
        assert set(step["before"]) | set(undone) <= known
        assert not set(after) & (set(step["before"]) | set(undone))
        assert all(after.values())
        assert all(undone.values())
        assert step["how"].endswith(".")
        assert step["why"].endswith(".")
        assert step["before"]


@pytest.mark.parametrize("key", KINDS_OF_WORK)
def test_every_task_fits_some_bike_and_asks_for_its_outcome(key: str) -> None:
    row = KINDS_OF_WORK[key]
    alternative = (row.get("when") or [{}])[0]
    bike = {"kind": "city"} | {name: values[0] for name, values in alternative.items()}

    steps = agree(key, bike, compose(bike, "full"), minutes=row["minutes"])

    assert key in {task["key"] for task in tasks(bike)}
    assert any(step["asks"] for step in steps)


def undone(key: str, bike: Bike, service: str = "full") -> set[str]:
    steps = agree(key, bike, compose(bike, service))
    return {one["key"] for step in steps for one in step.get("reopens", ())}


ROAD, MTB = {"kind": "road"}, {"kind": "mtb"}


@pytest.mark.parametrize(
    ("task", "bike", "step"),
    [
        ("bottom-bracket-bearings", ROAD, "index_front"),
        ("bottom-bracket-bearings", ROAD, "crank_fit"),
        ("front-pads", MTB, "bed_in"),
        ("front-rotor", MTB, "bed_in"),
        ("chain", ROAD, "index_rear"),
        ("chain-and-cassette", ROAD, "limits"),
        ("hanger", ROAD, "limits"),
        ("front-tyre", ROAD, "rim_brakes"),
        ("front-tyre", MTB, "caliper_align"),
        ("rear-tyre", {"kind": "city"}, "hub_brakes"),
        ("rear-tyre", {"kind": "city"}, "chain_fit_hub"),
        ("brake-hose", MTB, "bleed"),
        ("headset-bearings", ROAD, "clamp_stem"),
        ("gear-cable", {"kind": "city"}, "index_hub"),
        ("ebike-sensor", {"kind": "ebike"}, "batt_on"),
        ("grips", {"kind": "city", "built_for": "child"}, "child_fit"),
    ],
)
def test_work_undoes_what_hangs_on_it(task: str, bike: Bike, step: str) -> None:
    """Common practice of the trade."""
    assert step in undone(task, bike)


@pytest.mark.parametrize("kind", KINDS)
def test_after_safety_work_the_bike_is_looked_over_and_ridden_again(kind: str) -> None:
    """Common practice, as for a new bike: ISO 4210-2 (from memory) has it ridden when complete."""
    for task in tasks({"kind": kind}):
        looks = undone(task["key"], {"kind": kind}) & {"final_check", "road_test", "recheck"}
        assert len(looks) == 3 or not task["safety"], task["key"]


def test_a_safety_check_gets_the_steps_that_the_work_undoes() -> None:
    route = compose(ROAD, "safety")
    merged = [step["key"] for step in merge(route, agree("bottom-bracket-bearings", ROAD, route))]
    work = next(key for key in merged if key.endswith("-bb"))

    assert "crank_fit" not in {step["key"] for step in route}
    assert merged.index(work) < merged.index("crank_fit") < merged.index("index_front")
    assert merged.index("index_front") < merged.index("final_check")


def test_of_the_torque_run_only_what_was_undone_comes_in() -> None:
    route = compose(ROAD, "safety")
    steps = {step["key"]: step for step in agree("pedals", ROAD, route)}
    run = next(step for key, step in steps.items() if key.endswith("-final_torque"))

    assert [ask["item"] for ask in run["asks"]] == ["pedals"]
    assert "final_check" in run["before"]
    assert all(one["key"] != "final_torque" for s in steps.values() for one in s.get("reopens", ()))


def test_a_route_that_has_the_torque_run_keeps_it_and_opens_those_fasteners() -> None:
    steps = agree("pedals", ROAD, compose(ROAD, "standard"))
    run = next(one for one in steps[0]["reopens"] if one["key"] == "final_torque")

    assert len(steps) == 1
    assert run["items"] == ["pedals"]


def test_what_was_agreed_is_for_all_of_it_together() -> None:
    steps = agree("bottom-bracket-bearings", ROAD, compose(ROAD, "safety"), minutes=35)

    assert sum(step["minutes"]["typical"] for step in steps) == 35


def test_two_tasks_that_undo_the_same_step_bring_it_once() -> None:
    route = compose(ROAD, "safety")
    first = agree("chain", ROAD, route, 1)
    second = agree("hanger", ROAD, merge(route, first), 2)
    merged = [step["key"] for step in merge(route, [*second, *first])]

    assert merged.count("index_rear") == 1
    assert merged.count("limits") == 1
    assert merged.index("limits") < merged.index("index_rear")


@pytest.mark.parametrize(
    ("bike", "fits", "not_on_it"),
    [
        ({"kind": "road"}, {"front-blocks", "bar-tape", "front-tube"}, {"front-pads", "grips"}),
        ({"kind": "mtb"}, {"front-pads", "fork-lowers", "grips"}, {"bar-tape", "front-blocks"}),
        ({"kind": "mtb", "dropper": True}, {"dropper-service"}, {"seat-post"}),
        ({"kind": "mtb", "tubeless": True}, {"front-tubeless"}, {"front-tube"}),
        ({"kind": "city"}, {"hub-gear-oil", "chain-guard"}, {"hanger", "rear-mech", "freehub"}),
        ({"kind": "ebike"}, {"ebike-contacts"}, {"crank-arm", "bottom-bracket-bearings"}),
        ({"kind": "ebike", "built_for": "cargo"}, {"load-carrier"}, {"stabilisers"}),
        ({"kind": "city", "built_for": "child"}, {"stabilisers"}, {"child-seat"}),
    ],
)
def test_a_workshop_sees_only_the_tasks_of_the_bike(
    bike: Bike, fits: set[str], not_on_it: set[str]
) -> None:
    seen = {task["key"] for task in tasks(bike)}

    assert fits <= seen
    assert not seen & not_on_it


def test_there_are_at_least_forty_tasks() -> None:
    assert len(table("added_work")) >= 40
