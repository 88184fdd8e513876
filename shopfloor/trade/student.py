"""
Quantiles of Student's t, which few readings need in place of the normal distribution.

Pure arithmetic; see also frontend/src/trade/student.ts.
"""

import math
from typing import Final

_HALVINGS: Final = 200


def t_quantile(probability: float, *, degrees: int) -> float:
    """
    The value that a t-distributed error stays below with this probability.

    probability  from one half to less than 1
    degrees      degrees of freedom, at least 1

    Source: Abramowitz and Stegun 26.7.3 and 26.7.4, finite series; compared with scipy in tests.
    """
    low, high = 0.0, 2.0
    while _below(high, degrees) < probability:
        high *= 2
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if middle in (low, high):
            break
        low, high = (middle, high) if _below(middle, degrees) < probability else (low, middle)
    return (low + high) / 2


def _below(value: float, degrees: int) -> float:
    return (1 + _within(value, degrees)) / 2


def _within(value: float, degrees: int) -> float:
    """The share of errors between -value and value."""
    angle = math.atan(value / math.sqrt(degrees))
    cosine, sine = math.cos(angle), math.sin(angle)
    first = 1 + degrees % 2
    term = total = cosine if first == 2 else 1.0
    for m in range(first, degrees - 2, 2):
        term *= m / (m + 1) * cosine**2
        total += term
    if first == 1:
        return sine * total
    return 2 / math.pi * (angle + (sine * total if degrees > 1 else 0.0))
