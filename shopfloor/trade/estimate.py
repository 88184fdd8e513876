"""
What three guesses of a time come to: low, typical, high; and how far off that may be.

Steps of one bike are not independent: rust slows them all. The spread counts with that.
"""

import math
from collections.abc import Sequence
from typing import Final, NamedTuple

Guess = tuple[float, float, float]

# Even a long route is not known better than this before a shop has times of its own.
LEAST_SHARE: Final = 0.25


class Estimate(NamedTuple):
    """Expected minutes, and their standard deviation if the steps were independent."""

    mean: float
    sd: float


class Spread(NamedTuple):
    """Minutes between which about seven of eight bikes are done."""

    low: float
    high: float


def pert(steps: Sequence[Guess]) -> Estimate:
    """
    steps  (low, typical, high) minutes of each

    Source: three-point estimate of project handbooks.
    """
    mean = math.fsum((low + 4 * typical + high) / 6 for low, typical, high in steps)
    return Estimate(mean, math.sqrt(math.fsum(((high - low) / 6) ** 2 for low, _, high in steps)))


def honest_spread(steps: Sequence[Guess]) -> Spread:
    """
    A spread that holds when all steps are slow together.

    steps  as for pert

    Two standard deviations of steps that vary as one, and at least a quarter of the mean; never
    beyond all low or all high guesses unless the quarter asks for it. Common practice.
    """
    mean = pert(steps).mean
    together = 2 * math.fsum((high - low) / 6 for low, _, high in steps)
    low, high = math.fsum(one[0] for one in steps), math.fsum(one[2] for one in steps)
    quarter = LEAST_SHARE * mean
    return Spread(
        min(mean - quarter, max(low, mean - together)),
        max(mean + quarter, min(high, mean + together)),
    )
