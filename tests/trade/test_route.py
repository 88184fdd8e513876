"""Does a service of a bike have the right steps, in an order a mechanic can work in?"""

from typing import Any

import pytest

from shopfloor.trade.fields import FIELDS
from shopfloor.trade.route import (
    STAGES,
    UnknownService,
    catalogue_edges,
    compose,
    critical_path,
    minutes,
    order_violations,
    without_step,
)
from shopfloor.trade.tables import RowWithoutSource, check_rows, table
from shopfloor.trade.traits import UnknownTrait, usual_traits

KINDS = ("road", "mtb", "city", "ebike")
SERVICES = ("safety", "standard", "full")

# Steps, typical minutes of all, and the longest chain of waiting, worked out with networkx from
# the table of steps before this code was written. Minutes: common practice and memory.
WORKED_OUT = {
    ("road", "safety"): (11, 64, 50),
    ("road", "standard"): (35, 231, 132),
    ("road", "full"): (52, 413, 165),
    ("mtb", "safety"): (11, 64, 50),
    ("mtb", "standard"): (37, 242, 138),
    ("mtb", "full"): (56, 479, 167),
    ("city", "safety"): (11, 64, 50),
    ("city", "standard"): (32, 216, 132),
    ("city", "full"): (49, 417, 160),
    ("ebike", "safety"): (13, 68, 50),
    ("ebike", "standard"): (35, 229, 138),
    ("ebike", "full"): (45, 371, 154),
}
BIKES: list[dict[str, Any]] = [
    *({"kind": kind} for kind in KINDS),
    {"kind": "road", "brakes": "disc", "hydraulic": True, "axle": "thru-axle", "carbon": True},
    {"kind": "mtb", "brakes": "rim", "suspension": False, "axle": "quick-release"},
    {"kind": "ebike", "gears": "derailleur", "sprockets": 9},
    {"kind": "ebike", "gears": "hub", "bottom_bracket": "threaded", "axle": "nutted"},
    {"kind": "city", "brakes": "coaster", "gears": "single"},
    {"kind": "city", "brakes": "disc", "gears": "derailleur", "steering": "threadless"},
]


def keys(traits: dict[str, Any], service: str = "full") -> list[str]:
    return [step["key"] for step in compose(traits, service)]


def asks(traits: dict[str, Any], step: str, service: str = "full") -> dict[str, Any]:
    route = {found["key"]: found for found in compose(traits, service)}
    return {ask["item"]: ask for ask in route[step]["asks"]}


@pytest.mark.parametrize(("kind", "service"), WORKED_OUT)
def test_the_plain_kinds_have_the_steps_and_minutes_worked_out_for_them(
    kind: str, service: str
) -> None:
    route = compose({"kind": kind}, service)

    found = (len(route), minutes(route)["typical"], critical_path(route).length)
    assert found == WORKED_OUT[kind, service]


@pytest.mark.parametrize("service", SERVICES)
@pytest.mark.parametrize("traits", BIKES, ids=str)
def test_the_working_order_never_goes_back_a_stage_or_breaks_a_pair(
    traits: dict[str, Any], service: str
) -> None:
    route = compose(traits, service)
    order = [step["key"] for step in route]
    stages = [STAGES.index(step["stage"]) for step in route]

    assert stages == sorted(stages)
    assert len(set(order)) == len(order)
    assert order_violations(order, catalogue_edges(traits)) == []


@pytest.mark.parametrize("service", SERVICES)
@pytest.mark.parametrize("traits", BIKES, ids=str)
def test_every_step_tells_why_how_and_where_it_is_known_from(
    traits: dict[str, Any], service: str
) -> None:
    for step in compose(traits, service):
        assert step["why"]
        assert step["how"].endswith(".")
        assert step["source"]
        assert step["source_kind"]
        assert len({ask["item"] for ask in step["asks"]}) == len(step["asks"])
        for ask in step["asks"]:
            assert set(ask["required"]) <= set(ask["phases"])
            assert ask["kind"] != "choice" or {c["verdict"] for c in ask["choices"]} >= {"sound"}


def test_a_road_bike_with_discs_gets_the_disc_steps_instead_of_the_rim_ones() -> None:
    disc = set(keys({"kind": "road", "brakes": "disc", "hydraulic": True}))

    assert disc >= {"rotor_fit", "caliper_align", "bleed", "pads_in", "bed_in"}
    assert "rim_brakes" not in disc


def test_a_mountain_bike_with_rim_brakes_gets_no_disc_steps() -> None:
    rim = set(keys({"kind": "mtb", "brakes": "rim"}))

    assert "rim_brakes" in rim
    assert rim.isdisjoint({"rotor_fit", "caliper_align", "bleed", "pads_in", "bed_in"})


def test_cable_discs_are_not_bled() -> None:
    assert "bleed" not in keys({"kind": "road", "brakes": "disc", "hydraulic": False})


def test_an_e_bike_with_a_derailleur_is_indexed() -> None:
    assert set(keys({"kind": "ebike", "gears": "derailleur"})) >= {"limits", "bgap", "index_rear"}
    assert "limits" not in keys({"kind": "ebike"})


BACK_PEDAL = {"kind": "city", "brakes": "coaster", "gears": "single"}


def told(traits: dict[str, Any]) -> str:
    """Everything that is said at the stand about this bike, in small letters."""
    said = [
        [step["title"], step["how"], *step["points"], step["bath"] or ""]
        for step in compose(traits, "full")
    ]
    return " ".join(text for texts in said for text in texts).lower()


@pytest.mark.parametrize("word", ["every gear", "all gears", "mechs", "stamped on it"])
def test_nothing_is_said_of_gears_and_rotors_a_back_pedal_bike_has_not(word: str) -> None:
    assert word in told({"kind": "mtb", "brakes": "disc"})
    assert word not in told(BACK_PEDAL)


def test_a_back_pedal_bike_without_a_front_brake_can_be_finished() -> None:
    route = {step["key"]: step for step in compose(BACK_PEDAL, "full")}
    front = next(ask for ask in route["final_check"]["asks"] if ask["item"] == "front-brake")
    levers = next(ask for ask in route["final_torque"]["asks"] if ask["item"] == "brake-levers")

    assert {"value": "none", "label": "No front brake on this bike", "verdict": "watch"} in front[
        "choices"
    ]
    assert levers["required"] == []


def test_a_rigid_fork_has_no_lower_legs_to_open() -> None:
    assert "susp_lowers" in keys({"kind": "mtb"})
    assert "susp_lowers" not in keys({"kind": "mtb", "suspension": False})


def test_the_chain_is_held_to_the_limit_of_its_sprockets() -> None:
    nine = asks({"kind": "road", "sprockets": 9}, "measure_chain")["chain"]
    eleven = asks({"kind": "road", "sprockets": 11}, "measure_chain")["chain"]

    assert nine["rule"] == {"type": "maximum", "renew": 0.75, "watch": 0.5}
    assert eleven["rule"] == {"type": "maximum", "renew": 0.5, "watch": 0.4}
    assert nine["also"] == {"unit": "mm", "pitches": 24}


def test_brakes_are_measured_front_and_rear_as_they_are_built() -> None:
    disc = asks({"kind": "mtb"}, "measure_brakes")
    rim = asks({"kind": "road"}, "measure_brakes")

    assert {"front-pad", "rear-pad", "front-rotor", "rear-rotor"} <= set(disc)
    assert "stamped" in disc["front-rotor"]["mark"]
    assert {"front-rim-wall", "rear-rim-wall"} <= set(rim)
    assert "front-rotor" not in rim


def test_the_torque_run_goes_from_the_front_axle_to_the_rear() -> None:
    items = list(asks({"kind": "city"}, "final_torque"))

    assert items[0] == "front-axle-nut"
    assert items.index("quill-expander") < items.index("seat-collar") < items.index("crank")
    assert items[-2:] == ["rear-axle-nut", "rack"]


def test_only_places_that_can_hurt_somebody_must_be_left_with_a_torque() -> None:
    torques = asks({"kind": "mtb"}, "final_torque")

    assert all((ask["required"] == ["left"]) == ask["safety"] for ask in torques.values())
    assert not torques["rear-mech"]["safety"]


def test_a_fastener_of_unknown_kind_gets_no_limit_but_what_is_usual() -> None:
    unknown = asks({"kind": "city"}, "final_torque")["saddle-clamp"]
    known = asks({"kind": "city", "saddle_clamp": "two-m5"}, "final_torque")["saddle-clamp"]

    assert unknown["rule"] is None
    assert "one M8 bolt 15 to 25 N·m" in unknown["note"]
    assert known["rule"] == {"type": "band", "min": 5, "max": 8}


@pytest.mark.parametrize("kind", ["mtb", "ebike"])
def test_suspension_and_motor_bolts_get_a_warning_and_never_a_number(kind: str) -> None:
    route = {step["key"]: step for step in compose({"kind": kind}, "standard")}
    step = route["final_torque"]

    assert any("Suspension" in caution for caution in step["cautions"])
    assert {"suspension", "motor-mounts"}.isdisjoint(ask["item"] for ask in step["asks"])
    if kind == "ebike":
        assert any("Motor mounts" in caution for caution in step["cautions"])
        assert "crank" not in {ask["item"] for ask in step["asks"]}


def test_dangerous_work_carries_its_caution() -> None:
    route = {step["key"]: step for step in compose({"kind": "ebike", "carbon": True}, "full")}

    assert any("Never open a pack" in text for text in route["batt_off"]["cautions"])
    assert any("Pads are OUT" in text for text in route["bleed"]["cautions"])
    assert any("DOT and mineral" in text for text in route["bleed"]["cautions"])
    assert any("2 bar" in text for text in route["rinse_dry"]["cautions"])
    assert any("Carbon" in text for text in route["bars"]["cautions"])
    assert route["bars"]["compound"]["key"] == "carbon_paste"


def test_the_second_person_looks_at_what_is_on_the_route() -> None:
    route = {step["key"]: step for step in compose({"kind": "road"}, "standard")}

    assert route["second_person"]["kind"] == "check"
    assert route["second_person"]["checks"] == ["final_torque", "final_check", "recheck"]
    assert route["release"]["kind"] == "release"


def test_a_step_taken_out_hands_its_order_on() -> None:
    shorter = {s["key"]: s for s in without_step(compose({"kind": "mtb"}, "standard"), "rinse_dry")}

    assert "rinse_dry" not in shorter
    assert [reason["key"] for reason in shorter["inspect_cockpit"]["after"]] == ["wash_frame"]


def test_a_service_or_trait_nobody_knows_is_refused_with_the_choices() -> None:
    with pytest.raises(UnknownService, match="safety, standard, full"):
        compose({"kind": "road"}, "deluxe")
    with pytest.raises(UnknownTrait, match="rim, disc, drum, coaster"):
        compose({"kind": "road", "brakes": "parachute"}, "full")
    with pytest.raises(UnknownTrait, match="which kind"):
        compose({}, "full")


@pytest.mark.parametrize("kind", KINDS)
def test_what_a_form_offers_first_can_be_composed(kind: str) -> None:
    usual = usual_traits(kind)

    assert {field.key for field in FIELDS if not field.optional} <= set(usual)
    assert compose(usual, "full")


def test_a_row_without_a_source_is_refused() -> None:
    with pytest.raises(RowWithoutSource, match="no source"):
        check_rows("wear", [{"key": "disc-pad", "source": "", "source_kind": "memory"}])


def test_a_key_that_stands_twice_is_refused() -> None:
    row = {"key": "x", "source": "practice", "source_kind": "common_practice"}

    with pytest.raises(ValueError, match="stands twice"):
        check_rows("wear", [row, dict(row)])


def test_no_torque_row_without_a_band_is_asked_for() -> None:
    unknown = [row for row in table("torque") if row["min"] is None]

    assert unknown
    assert all(row["compound"] == "maker" for row in unknown)
