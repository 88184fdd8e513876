"""Do torque, chain and brake rules hold beyond the single cases they are checked on?"""

import math
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfloor.trade import braking, chain, torque
from shopfloor.trade.graph import Cycle, longest_path, stable_order, without


@given(
    setting=st.floats(1, 100),
    length=st.floats(100, 600),
    extension=st.floats(-60, 200),
    angle=st.floats(0, 180),
)
def test_setting_and_fastener_undo_each_other(
    setting: float, length: float, extension: float, angle: float
) -> None:
    try:
        reached = torque.torque_at_fastener(
            setting=setting, wrench_length=length, extension=extension, angle_deg=angle
        )
    except torque.WrenchOutOfReach:
        assert length + extension * math.cos(math.radians(angle)) <= 0
        return

    back = torque.wrench_setting(
        wanted=reached, wrench_length=length, extension=extension, angle_deg=angle
    )

    assert back == pytest.approx(setting)


def test_an_extension_back_past_the_grip_is_refused() -> None:
    with pytest.raises(torque.WrenchOutOfReach, match="turn it round"):
        torque.wrench_setting(wanted=5, wrench_length=100, extension=150, angle_deg=180)


# Source: ISO 6789, 12 months or 5000 cycles, whichever comes first (memory of the standard).
@pytest.mark.parametrize(
    ("last", "on", "cycles", "state"),
    [
        ("2025-01-10", "2026-01-10", 0, "current"),
        ("2025-01-10", "2026-01-11", 0, "overdue"),
        ("2025-01-10", "2025-02-01", 5000, "current"),
        ("2025-01-10", "2025-02-01", 5001, "overdue"),
        ("2024-02-29", "2025-02-28", 0, "current"),
        ("2024-02-29", "2025-03-01", 0, "overdue"),
        ("2024-12-31", "2025-12-31", 0, "current"),
    ],
)
def test_calibration_runs_out_by_months_or_by_clicks(
    last: str, on: str, cycles: int, state: str
) -> None:
    found = torque.calibration_state(
        last_calibrated_on=date.fromisoformat(last),
        on=date.fromisoformat(on),
        cycles_since=cycles,
    )

    assert found == state


def test_a_wrench_of_six_percent_leaves_about_four_point_three_to_five_point_seven() -> None:
    # Source: ISO 6789 class, GUM rectangular distribution; band 4 to 6 N·m, common practice.
    uncertainty = torque.standard_uncertainty(5, class_pct=6)

    low, high = torque.acceptance_limits(
        lower=4, upper=6, standard_uncertainty=uncertainty, guard_factor=2
    )

    assert (round(low, 1), round(high, 1)) == (4.3, 5.7)


def test_a_tool_too_coarse_for_the_band_is_refused() -> None:
    with pytest.raises(torque.WrenchOutOfReach, match="finer"):
        torque.acceptance_limits(lower=4, upper=6, standard_uncertainty=0.6)


def test_a_reading_on_one_edge_conforms_half_the_time() -> None:
    half = torque.conformance_probability(reading=4, standard_uncertainty=0.1, lower=4, upper=None)

    assert half == pytest.approx(0.5)


@given(percent=st.floats(-0.9, 4.9), pitches=st.integers(10, 120))
def test_a_chain_measured_is_the_chain_there_is(percent: float, pitches: int) -> None:
    length = pitches * 12.7 * (1 + percent / 100)

    assert chain.elongation_percent(length_mm=length, pitches=pitches) == pytest.approx(
        percent, abs=1e-9
    )


def test_more_half_links_make_a_surer_reading() -> None:
    # Source: sum of squares, GUM (JCGM 100): twice the span, half the uncertainty.
    one = chain.elongation_uncertainty(reading_std_mm=0.25, pitches=24)
    two = chain.elongation_uncertainty(reading_std_mm=0.25, pitches=48)

    assert one == pytest.approx(2 * two)


def test_a_ruler_that_was_misread_is_refused() -> None:
    with pytest.raises(chain.ReadingOutOfRange, match="count the links"):
        chain.elongation_percent(length_mm=306.4, pitches=20)


@pytest.mark.parametrize(("sprockets", "verdict"), [(1, "sound"), (10, "watch"), (11, "renew")])
def test_the_same_chain_is_judged_by_its_sprockets(sprockets: int, verdict: str) -> None:
    assert chain.judge_chain(elongation_pct=0.52, sprockets=sprockets).verdict == verdict


def test_the_stamped_minimum_of_a_rotor_comes_before_the_table() -> None:
    assert braking.judge_rotor(thickness_mm=1.6).verdict == "sound"
    assert braking.judge_rotor(thickness_mm=1.6, minimum_mm=1.7).verdict == "renew"
    assert braking.judge_rotor(thickness_mm=1.52, uncertainty_mm=0.015).verdict == "measure again"


def test_pads_are_judged_by_what_they_rub_on() -> None:
    assert braking.judge_pad(friction_mm=0.9, kind="disc").verdict == "watch"
    assert braking.judge_pad(friction_mm=0.9, kind="rim").verdict == "renew"
    with pytest.raises(braking.UnknownPad, match="disc, rim, drum"):
        braking.judge_pad(friction_mm=0.9, kind="parachute")


@given(
    pairs=st.lists(st.tuples(st.sampled_from("abcdef"), st.sampled_from("abcdef")), max_size=12),
    removed=st.sampled_from("abcdef"),
)
def test_taking_a_name_out_keeps_every_indirect_order(
    pairs: list[tuple[str, str]], removed: str
) -> None:
    forwards = [(a, b) for a, b in pairs if a < b]

    kept = without(forwards, removed)

    assert reachable(kept) == {(a, b) for a, b in reachable(forwards) if removed not in (a, b)}


def reachable(pairs: list[tuple[str, str]]) -> set[tuple[str, str]]:
    found = set(pairs)
    while True:
        more = {(a, d) for a, b in found for c, d in found if b == c} - found
        if not more:
            return found
        found |= more


def test_names_that_wait_for_each_other_have_no_longest_path() -> None:
    with pytest.raises(Cycle, match="wait for each other"):
        longest_path({"a": 1, "b": 2}, [("a", "b"), ("b", "a")])


def test_an_order_never_fails_and_never_loses_a_name() -> None:
    order = stable_order({"a": 2, "b": 1, "c": 0}, [("a", "b"), ("b", "a"), ("x", "c")])

    assert order == ["c", "b", "a"]
