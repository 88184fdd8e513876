"""Is a time told with a spread that holds when a bike is slow from end to end?"""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfloor.trade.estimate import honest_spread, pert

GUESSES = st.lists(
    st.tuples(st.floats(1, 20), st.floats(0, 20), st.floats(0, 40)).map(
        lambda t: (t[0], t[0] + t[1], t[0] + t[1] + t[2])
    ),
    min_size=1,
    max_size=30,
)


@given(steps=GUESSES)
def test_the_spread_holds_the_mean_and_is_no_tighter_than_a_quarter(
    steps: list[tuple[float, float, float]],
) -> None:
    mean = pert(steps).mean
    low, high = honest_spread(steps)

    assert low <= mean * 0.75 * (1 + 1e-9)
    assert high >= mean * 1.25 * (1 - 1e-9)
    assert low >= 0


def test_many_equal_steps_do_not_make_the_spread_shrink() -> None:
    # Source: independent errors shrink with the root of their number, shared ones do not.
    one, many = [(5.0, 10.0, 25.0)], [(5.0, 10.0, 25.0)] * 40

    assert pert(many).sd / pert(many).mean < pert(one).sd / pert(one).mean / 6
    assert honest_spread(many).high / pert(many).mean == pytest.approx(
        honest_spread(one).high / pert(one).mean
    )


def test_seven_of_eight_bikes_that_are_slow_from_end_to_end_end_inside() -> None:
    # Source: simulation; each bike has one degree of rust that moves all of its steps together.
    steps = [(4.0, 6.0, 10.0), (6.0, 12.0, 25.0), (3.0, 5.0, 8.0)] * 5
    low, high = honest_spread(steps)
    dice = random.Random(3)

    def bike() -> float:
        rust = dice.random()
        return sum(
            low + (high - low) * _share(rust, (typical - low) / (high - low))
            for low, typical, high in steps
        )

    inside = sum(low <= bike() <= high for _ in range(1000))

    assert 840 < inside < 910


def _share(u: float, mode: float) -> float:
    """The triangular distribution's quantile."""
    return (u * mode) ** 0.5 if u < mode else 1 - ((1 - u) * (1 - mode)) ** 0.5
