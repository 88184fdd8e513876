"""Do bolts bear what the standard lists, and does a lubricant change what it should?"""

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfloor.trade import bolts
from shopfloor.trade.tables import table
from tests.trade.second_sources import BD_WAREHOUSE_PITCHES_MM

LISTED = [
    (row["key"], name, load)
    for row in table("threads")
    for name, load in row["proof_loads_n"].items()
]


@pytest.mark.parametrize(("thread", "strength", "load"), LISTED)
def test_listed_proof_loads_agree_with_stress_area_and_proof_stress(
    thread: str, strength: str, load: float
) -> None:
    # Source: ISO 898-1 makes the one from the other and rounds to three digits.
    made = bolts.stress_area(thread) * bolts.strength(strength)["proof_mpa"]

    assert bolts.proof_load(thread, strength) == load
    assert load == pytest.approx(made, rel=0.008)


@pytest.mark.parametrize("row", table("threads"), ids=lambda row: row["key"])
def test_coarse_pitches_are_those_of_a_second_list(row: dict[str, float]) -> None:
    assert row["pitch_mm"] == BD_WAREHOUSE_PITCHES_MM[str(row["key"])]


def test_every_pitch_of_the_second_list_is_known_here() -> None:
    assert {row["key"] for row in table("threads")} == set(BD_WAREHOUSE_PITCHES_MM)


def test_the_torque_of_a_clamping_force_has_the_units_it_claims() -> None:
    units: pint.UnitRegistry = pint.UnitRegistry()  # type: ignore[type-arg]
    outside = (0.15 * units.Quantity(12525, "newton") * units.Quantity(6, "mm")).to("newton*meter")

    inside = bolts.torque_for_preload(k=0.15, preload_n=12525, diameter_mm=6)

    assert inside == pytest.approx(outside.magnitude)


def test_shigleys_example_comes_out_in_its_own_units() -> None:
    # Source: Shigley, 3/4 in bolt, 25 kip, K 0.20: 3750 lbf·in.
    pound, inch = 4.4482216152605, 0.0254
    torque = bolts.torque_for_preload(
        k=0.2, preload_n=25000 * pound, diameter_mm=0.75 * inch * 1000
    )

    assert torque / (pound * inch) == pytest.approx(3750)


@given(
    torque=st.floats(0.5, 60),
    k=st.floats(0.1, 0.3),
    diameter=st.sampled_from([3, 4, 5, 6, 8, 10, 12]),
    proof=st.floats(2000, 80000),
)
def test_a_ratio_leads_back_to_its_torque(
    torque: float, k: float, diameter: float, proof: float
) -> None:
    ratio = bolts.preload_to_proof(torque_nm=torque, k=k, diameter_mm=diameter, proof_n=proof)

    back = bolts.torque_for_preload(k=k, preload_n=ratio * proof, diameter_mm=diameter)

    assert back == pytest.approx(torque)


@given(
    torque=st.floats(0.5, 60),
    one=st.sampled_from([row["key"] for row in table("torque_factors")]),
    other=st.sampled_from([row["key"] for row in table("torque_factors")]),
)
def test_a_change_of_lubricant_undoes_itself(torque: float, one: str, other: str) -> None:
    there = bolts.torque_with_lubricant(torque_nm=torque, told_for=one, condition=other)

    back = bolts.torque_with_lubricant(torque_nm=there, told_for=other, condition=one)

    assert back == pytest.approx(torque)


def test_anti_seize_on_a_dry_torque_overloads_the_bolt() -> None:
    # Source: torque factors 0.12 and 0.20 of Shigley, three quarters of the proof load: 125 %.
    dry = bolts.tightening(thread="M5", strength_class="8.8", condition="dry").torque_nm

    share = bolts.preload_to_proof(torque_nm=dry, k=0.12, diameter_mm=5, proof_n=8230)

    assert share == pytest.approx(1.25)


@pytest.mark.parametrize(
    ("told", "diameter", "pitch"),
    [("M5", 5, 0.8), ("m8x1", 8, 1), ("M 5 x 0,8", 5, 0.8), ("M10×1.25", 10, 1.25), ("M6-1", 6, 1)],
)
def test_threads_are_read_as_people_write_them(told: str, diameter: float, pitch: float) -> None:
    assert bolts.read_thread(told) == (diameter, pitch)


@pytest.mark.parametrize(
    ("told", "says"),
    [("9/16-20", "metric"), ("M9", "coarse pitch"), ("M5x5", "cannot be"), ("", "metric")],
)
def test_threads_that_cannot_be_are_refused(told: str, says: str) -> None:
    with pytest.raises(bolts.UnknownBolt, match=says):
        bolts.stress_area(told)


def test_an_unknown_class_or_lubricant_names_those_that_are_known() -> None:
    with pytest.raises(bolts.UnknownBolt, match=r"8\.8.*12\.9"):
        bolts.proof_load("M5", "7.7")
    with pytest.raises(bolts.UnknownBolt, match="greased"):
        bolts.tightening(thread="M5", strength_class="8.8", condition="honey")


def test_a_fine_thread_bears_more_than_the_coarse_one() -> None:
    assert bolts.proof_load("M8x1", "8.8") > bolts.proof_load("M8", "8.8")
    assert bolts.stress_area("M8x1") == pytest.approx(math.pi / 4 * (8 - 0.938194) ** 2)
