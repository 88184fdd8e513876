"""Are chains cut as trigonometry says, and gears what their definitions say?"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfloor.trade import gearing, tyre_sizes


def exact_pitches(centre_mm: float, front: int, rear: int) -> float:
    """A belt of pitch lines around two circles, by trigonometry."""
    pitch = 12.7
    big, small = (n * pitch / (2 * math.pi) for n in (front, rear))
    lean = math.asin((big - small) / centre_mm)
    straight = 2 * centre_mm * math.cos(lean)
    return (straight + big * (math.pi + 2 * lean) + small * (math.pi - 2 * lean)) / pitch


@given(chainstay=st.floats(380, 520), front=st.integers(20, 60), rear=st.integers(9, 52))
def test_a_chain_is_as_long_as_trigonometry_says(chainstay: float, front: int, rear: int) -> None:
    formula = gearing.chain_length_pitches(chainstay_mm=chainstay, front=front, rear=rear)

    # Source: trigonometry; worst with 60 and 9 teeth at 380 mm, 0.002 where gears are usual.
    usual = chainstay >= 400 and -32 <= front - rear <= 30
    assert formula == pytest.approx(
        exact_pitches(chainstay, front, rear), abs=0.002 if usual else 0.02
    )


def test_the_formula_in_circulation_that_counts_a_term_twice_is_not_used() -> None:
    # Source: trigonometry; 52 and 28 teeth at 17.25 in need 109.42 half links.
    assert exact_pitches(17.25 * 25.4, 52, 28) == pytest.approx(109.42, abs=0.01)


@given(pitches=st.floats(40, 200), extra=st.integers(0, 4))
def test_a_chain_is_cut_to_the_next_whole_link(pitches: float, extra: int) -> None:
    cut = gearing.even_chain_length(pitches=pitches, derailleur_pitches=extra)

    assert cut % 2 == 0
    assert -1e-6 <= cut - (pitches + extra) < 2


def test_an_even_length_is_not_lengthened() -> None:
    assert gearing.even_chain_length(pitches=110.0, derailleur_pitches=2) == 112


def test_a_ring_and_a_sprocket_that_touch_are_refused() -> None:
    with pytest.raises(gearing.NoGear, match="axle to axle"):
        gearing.chain_length_pitches(chainstay_mm=43.8, front=52, rear=28)


@given(
    front=st.integers(20, 60),
    rear=st.integers(9, 52),
    mark=st.sampled_from(["28-622", "47-559", "40-406"]),
)
def test_development_is_gear_inches_rolled_out(front: int, rear: int, mark: str) -> None:
    # Source: definitions; the circumference of a wheel of so many inches.
    inches = gearing.gear_inches(
        wheel_in=tyre_sizes.overall_diameter_mm(mark) / 25.4, front=front, rear=rear
    )

    metres = gearing.development_m(
        circumference_m=tyre_sizes.circumference_mm(mark) / 1000, front=front, rear=rear
    )

    assert metres == pytest.approx(inches * 0.0254 * math.pi)


@given(
    rings=st.lists(st.integers(20, 60), min_size=1, max_size=3),
    cassette=st.lists(st.integers(9, 52), min_size=1, max_size=13),
)
def test_capacity_is_the_slack_between_the_extremes(rings: list[int], cassette: list[int]) -> None:
    # Source: definition; half of each tooth's pitch is taken up on either side.
    capacity = gearing.derailleur_capacity(rings=rings, cassette=cassette)

    assert capacity == max(rings) + max(cassette) - min(rings) - min(cassette)
    assert capacity >= 0


def test_four_millimetres_at_the_rim_are_a_third_of_a_degree() -> None:
    assert math.tan(math.radians(gearing.hanger_angle_deg(rim_offset_mm=4, rim_dia_mm=622))) == (
        pytest.approx(4 / 622)
    )
