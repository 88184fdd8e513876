"""Is a wheel's geometry what vectors in space say it is?"""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfloor.trade import wheels
from shopfloor.trade.wheels import Side

SIDES = st.builds(
    Side,
    hole_circle_radius_mm=st.floats(10, 60),
    flange_offset_mm=st.floats(5, 45),
    spokes=st.integers(8, 24),
    crossings=st.integers(0, 3),
)


@given(rim=st.floats(150, 320), side=SIDES)
def test_a_spoke_is_as_long_as_the_way_between_its_ends(rim: float, side: Side) -> None:
    # Source: points in space; numpy measures the way.
    angle = 2 * math.pi * side.crossings / side.spokes
    hub = np.array([side.hole_circle_radius_mm, 0, side.flange_offset_mm])
    nipple = np.array([rim * math.cos(angle), rim * math.sin(angle), 0])

    length = wheels.spoke_length_mm(effective_rim_radius_mm=rim, side=side, hole_mm=2.6)

    assert length == pytest.approx(float(np.linalg.norm(hub - nipple)) - 1.3)


@given(rim=st.floats(150, 320), left=SIDES, right=SIDES)
def test_the_pulls_across_the_wheel_balance(rim: float, left: Side, right: Side) -> None:
    # Source: Newton; each spoke pulls across by its tension times offset over length.
    ratio = wheels.tension_ratio(effective_rim_radius_mm=rim, left=left, right=right)

    def across(side: Side, tension: float) -> float:
        length = wheels.spoke_length_mm(effective_rim_radius_mm=rim, side=side)
        return side.spokes * tension * side.flange_offset_mm / length

    assert across(left, 1000 * ratio) == pytest.approx(across(right, 1000))


@given(rim=st.floats(150, 320), left=SIDES, right=SIDES)
def test_the_wheel_turned_round_has_the_ratio_turned_round(
    rim: float, left: Side, right: Side
) -> None:
    one = wheels.tension_ratio(effective_rim_radius_mm=rim, left=left, right=right)
    other = wheels.tension_ratio(effective_rim_radius_mm=rim, left=right, right=left)

    assert one * other == pytest.approx(1)


@pytest.mark.parametrize(
    ("rim", "side", "says"),
    [
        (20, Side(29, 36, 18, 3), "radii, not diameters"),
        (300, Side(29, 36, 1, 0), "two spokes"),
        (300, Side(29, 36, 6, 4), "crossings"),
    ],
)
def test_what_is_no_wheel_is_refused(rim: float, side: Side, says: str) -> None:
    with pytest.raises(wheels.NotAWheel, match=says):
        wheels.spoke_length_mm(effective_rim_radius_mm=rim, side=side)


def test_a_slack_spoke_is_found_at_its_place() -> None:
    found = wheels.evenness(tension_kgf=[100, 100, 100, 70, 100, 130], limit_pct=20)

    assert found.mean == 100
    assert found.outliers == [3, 5]


def test_just_at_the_limit_is_still_even() -> None:
    assert wheels.evenness(tension_kgf=[80, 120], limit_pct=20).outliers == []


@given(tensions=st.lists(st.floats(10, 200), min_size=2, max_size=20), scale=st.floats(0.1, 10))
def test_the_unit_of_tension_does_not_matter(tensions: list[float], scale: float) -> None:
    one = wheels.evenness(tension_kgf=tensions, limit_pct=17.3)
    other = wheels.evenness(tension_kgf=[scale * t for t in tensions], limit_pct=17.3)

    assert other.mean == pytest.approx(one.mean * scale)
    assert other.outliers == one.outliers


def test_the_dish_tells_its_side() -> None:
    assert wheels.dish_mm(gap_left_mm=0, gap_right_mm=1.6) == -wheels.dish_mm(
        gap_left_mm=1.6, gap_right_mm=0
    )
