"""Does added work find its place, whatever the order in which it was agreed?"""

import json
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfloor.trade.added_work import UnknownTask, steps_for, tasks
from shopfloor.trade.route import STAGES, Step, compose, edges_of, merge

CASES = json.loads(Path("fixtures/cases/route.json").read_text(encoding="utf-8"))
KINDS = ("road", "mtb", "city", "ebike")
SERVICES = ("safety", "standard", "full")
FINDING = "0197a1b2-0000-7000-8000-00000000a001"


def planned(task: dict[str, Any], traits: dict[str, Any], finding: str = FINDING) -> list[Step]:
    return steps_for(
        task["key"],
        finding_id=finding,
        title=task["title"],
        minutes=task["minutes"],
        safety=task["safety"],
        traits=traits,
    )


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_added_work_stands_where_its_case_says(case: dict[str, Any]) -> None:
    merged = merge(case["route"], case["added"])

    assert [step["key"] for step in merged] == case["order"]


@st.composite
def added_steps(draw: st.DrawFn) -> list[dict[str, Any]]:
    names = [step["key"] for step in compose({"kind": "mtb"}, "standard")]
    count = draw(st.integers(0, 6))
    own = [f"a{index}" for index in range(count)]
    pick = st.lists(st.sampled_from([*names, *own, "nowhere"]), max_size=3)
    return [
        {
            "key": key,
            "stage": draw(st.sampled_from([*STAGES, "polish"])),
            "title": key,
            "after": [{"key": name, "because": "…"} for name in draw(pick)],
            "before": draw(pick),
        }
        for key in own
    ]


@given(added=added_steps(), shuffle=st.randoms())
def test_the_order_of_agreement_makes_no_difference(added: list[Step], shuffle: Any) -> None:
    route = compose({"kind": "mtb"}, "standard")
    other = list(added)
    shuffle.shuffle(other)

    merged = merge(route, added)

    assert merged == merge(route, other)
    assert {step["key"] for step in merged} == {s["key"] for s in [*route, *added]}


@given(data=st.data())
def test_work_from_the_table_keeps_every_pair(data: st.DataObject) -> None:
    traits = {"kind": data.draw(st.sampled_from(KINDS))}
    service = data.draw(st.sampled_from(SERVICES))
    picked = data.draw(st.lists(st.sampled_from(tasks(traits)), max_size=5))
    added = [
        step for n, task in enumerate(picked) for step in planned(task, traits, str(UUID(int=n)))
    ]

    merged = merge(compose(traits, service), added)

    place = {step["key"]: index for index, step in enumerate(merged)}
    stages = [STAGES.index(step["stage"]) for step in merged]
    assert stages == sorted(stages)
    assert all(place[a] < place[b] for a, b in edges_of(merged) if a in place and b in place)


@pytest.mark.parametrize("kind", KINDS)
def test_every_task_ends_in_something_to_record_that_clears_what_was_found(kind: str) -> None:
    traits = {"kind": kind}
    full = compose(traits, "full")
    known = {(step["key"], ask["item"]) for step in full for ask in step["asks"]}

    for task in tasks(traits):
        steps = planned(task, traits)
        asked = [ask for step in steps for ask in step["asks"]]
        cleared = {
            (ask["clears"]["step"], ask["clears"]["item"]) for ask in asked if "clears" in ask
        }
        assert asked, task["key"]
        assert cleared <= known, task["key"]


def test_a_renewed_rotor_asks_for_its_thickness_and_clears_the_old_one() -> None:
    task = next(t for t in tasks({"kind": "mtb"}) if t["key"] == "front-rotor")

    (step,) = planned(task, {"kind": "mtb"})

    thickness = step["asks"][0]
    assert step["key"] == "00000000a001-rotor"
    assert thickness["clears"] == {"step": "measure_brakes", "item": "front-rotor"}
    assert thickness["required"] == ["left"]
    assert thickness["rule"] == {"type": "minimum", "renew": 1.5, "watch": None}


def test_the_minutes_agreed_are_shared_between_the_steps() -> None:
    task = next(t for t in tasks({"kind": "mtb"}) if t["key"] == "chain-and-cassette")

    steps = planned(task, {"kind": "mtb"})

    assert sum(step["minutes"]["typical"] for step in steps) == task["minutes"]
    assert steps[1]["after"][1]["key"] == steps[0]["key"]


def test_work_in_the_mechanics_own_words_is_one_step_after_where_it_was_found() -> None:
    (step,) = steps_for(
        None,
        finding_id=FINDING,
        title="Bent rack straightened",
        minutes=15,
        safety=True,
        traits={"kind": "city"},
        step="accessories",
    )

    merged = [s["key"] for s in merge(compose({"kind": "city"}, "standard"), [step])]
    assert step["title"] == "Bent rack straightened"
    assert step["safety"]
    assert merged.index("accessories") < merged.index(step["key"]) < merged.index("final_torque")


def test_what_was_found_on_the_test_ride_is_mended_before_the_torque_run() -> None:
    (step,) = steps_for(
        None,
        finding_id=FINDING,
        title="Loose mudguard fixed",
        minutes=10,
        safety=True,
        traits={"kind": "city"},
        step="road_test",
    )

    merged = [s["key"] for s in merge(compose({"kind": "city"}, "standard"), [step])]
    assert merged.index("accessories") < merged.index(step["key"]) < merged.index("final_torque")
    assert step["after"] == []


def test_press_fit_and_threaded_bottom_brackets_are_different_work() -> None:
    threaded = {task["key"] for task in tasks({"kind": "road"})}
    pressed = {task["key"] for task in tasks({"kind": "road", "bottom_bracket": "press-fit"})}

    assert "bottom-bracket-bearings" in threaded
    assert "bottom-bracket-press-fit" in pressed
    assert "bottom-bracket-bearings" not in pressed


def test_work_this_bike_cannot_have_is_refused() -> None:
    with pytest.raises(UnknownTask, match="front-rotor"):
        steps_for(
            "front-rotor",
            finding_id=FINDING,
            title="",
            minutes=20,
            safety=True,
            traits={"kind": "road"},
        )
