"""
What three guesses of a time come to: low, typical, high.

Treats steps as independent of one another, which is too hopeful: a rusty bike slows them all.
"""

import math
from collections.abc import Iterable
from typing import NamedTuple


class Estimate(NamedTuple):
    """Expected minutes and their standard deviation."""

    mean: float
    sd: float


def pert(steps: Iterable[tuple[float, float, float]]) -> Estimate:
    """
    steps  (low, typical, high) minutes of each

    Source: three-point estimate of project handbooks.
    """
    mean = variance = 0.0
    for low, typical, high in steps:
        mean += (low + 4 * typical + high) / 6
        variance += ((high - low) / 6) ** 2
    return Estimate(mean, math.sqrt(variance))
