"""Is wear projected as statistics outside this project would, and refused where they would?"""

from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import optimize, stats

from shopfloor.trade.projection import NoProjection, is_far_beyond, project_wear
from shopfloor.trade.student import t_quantile

KM = [0.0, 500.0, 1000.0, 1500.0, 2000.0]
WORN = [0.02, 0.10, 0.19, 0.27, 0.36]


@given(probability=st.floats(0.5, 0.9999), degrees=st.integers(1, 200))
def test_quantiles_are_those_of_scipy(probability: float, degrees: int) -> None:
    assert t_quantile(probability, degrees=degrees) == pytest.approx(
        stats.t.ppf(probability, degrees), rel=1e-7, abs=1e-9
    )


def band(x: list[float], y: list[float], confidence: float) -> tuple[Any, Any]:
    """The confidence limits of the regression line, by scipy: Fieller turned round."""
    line = stats.linregress(x, y)
    xs, ys = np.array(x), np.array(y)
    t = stats.t.ppf((1 + confidence) / 2, len(x) - 2)
    s = np.sqrt(((ys - line.intercept - line.slope * xs) ** 2).sum() / (len(x) - 2))
    spread = ((xs - xs.mean()) ** 2).sum()

    def half(at: float) -> float:
        return float(t * s * np.sqrt(1 / len(x) + (at - xs.mean()) ** 2 / spread))

    def middle(at: float) -> float:
        return float(line.intercept + line.slope * at)

    return (lambda at: middle(at) + half(at)), (lambda at: middle(at) - half(at))


def test_the_interval_is_where_the_band_of_the_line_meets_the_limit() -> None:
    # Source: Fieller's interval is the set of x whose confidence band holds the limit.
    found = project_wear(x=KM, elongation_pct=WORN, threshold_pct=0.5)
    upper, lower = band(KM, WORN, 0.95)

    low = optimize.brentq(lambda at: upper(at) - 0.5, 0, found.crossing)
    high = optimize.brentq(lambda at: lower(at) - 0.5, found.crossing, 20000)

    assert found.low == pytest.approx(low, rel=1e-6)
    assert found.high == pytest.approx(high, rel=1e-6)


def test_the_line_is_that_of_scipy() -> None:
    line = stats.linregress(KM, WORN)

    found = project_wear(x=KM, elongation_pct=WORN, threshold_pct=0.5)

    assert found.slope == pytest.approx(line.slope)
    assert found.crossing == pytest.approx((0.5 - line.intercept) / line.slope)


@pytest.mark.parametrize(
    ("x", "y", "says"),
    [
        ([0, 500], [0.1, 0.2], "three readings"),
        ([0, 500, 1000], [0.1, 0.2], "one reading for each"),
        ([500, 500, 500], [0.1, 0.2, 0.3], "same distance"),
        ([0, 500, 1000], [0.3, 0.2, 0.1], "do not rise"),
        ([0, 500, 1000, 1500], [0.1, 0.3, 0.05, 0.25], "scatter too much"),
    ],
)
def test_readings_that_do_not_say_it_are_refused(x: Any, y: Any, says: str) -> None:
    with pytest.raises(NoProjection, match=says):
        project_wear(x=x, elongation_pct=y, threshold_pct=0.5)


@settings(max_examples=50)
@given(seed=st.integers(0, 2**32 - 1), noise=st.floats(0.001, 0.06))
def test_it_refuses_exactly_where_the_slope_may_be_nothing(seed: int, noise: float) -> None:
    # Source: Fieller's interval is bounded if and only if the slope differs from 0 at this level.
    made = np.random.default_rng(seed)
    y = list(0.00017 * np.array(KM) + made.normal(0, noise, len(KM)))
    line = stats.linregress(KM, y)
    assume(abs(line.pvalue - 0.05) > 1e-6)
    rises = line.slope > 0 and line.pvalue < 0.05

    try:
        found = project_wear(x=KM, elongation_pct=y, threshold_pct=0.5)
    except NoProjection:
        assert not rises
    else:
        assert rises
        assert found.low <= found.crossing <= found.high


@given(scale=st.floats(0.001, 1000), shift=st.floats(0, 1e4))
def test_miles_or_days_and_where_they_begin_do_not_matter(scale: float, shift: float) -> None:
    here = project_wear(x=KM, elongation_pct=WORN, threshold_pct=0.5)
    moved = [km * scale + shift for km in KM]

    there = project_wear(x=moved, elongation_pct=WORN, threshold_pct=0.5)

    assert there.high == pytest.approx(here.high * scale + shift, rel=1e-6)


def test_the_truth_lies_in_the_interval_about_as_often_as_is_said() -> None:
    # Source: the meaning of a 95 % interval; 400 chains of known wear, read with 0.015 points off.
    made, held, asked = np.random.default_rng(7), 0, 0
    for _ in range(400):
        y = list(0.02 + 0.00017 * np.array(KM) + made.normal(0, 0.015, len(KM)))
        try:
            found = project_wear(x=KM, elongation_pct=y, threshold_pct=0.5)
        except NoProjection:
            continue
        asked += 1
        held += found.low <= (0.5 - 0.02) / 0.00017 <= found.high

    assert asked > 350
    assert 0.92 < held / asked < 0.98


def test_a_limit_far_beyond_the_readings_is_called_a_guess() -> None:
    near = project_wear(x=KM, elongation_pct=WORN, threshold_pct=0.5)
    far = project_wear(x=KM, elongation_pct=WORN, threshold_pct=0.75)

    assert not is_far_beyond(near, KM)
    assert is_far_beyond(far, KM)
