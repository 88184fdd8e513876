"""
When a chain will reach its limit, from readings taken since it was fitted; or that nobody can say.

Knows readings and a straight line only. See also frontend/src/trade/projection.ts.
"""

import math
from collections.abc import Sequence
from typing import Final, NamedTuple

from shopfloor.trade.student import t_quantile
from shopfloor.words import gettext as _

FEWEST_READINGS: Final = 3
# Beyond one and a half times the span that was observed a straight line is a guess.
FAR_BEYOND: Final = 1.5


class NoProjection(ValueError):
    """The readings do not say when the limit is reached."""


class Projection(NamedTuple):
    """Wear for each unit of x, and the x at which the limit is crossed, with its interval."""

    slope: float
    crossing: float
    low: float
    high: float


class _Line(NamedTuple):
    slope: float
    mean_x: float
    mean_y: float
    spread_x: float
    residual: float
    readings: int


def project_wear(
    *,
    x: Sequence[float],
    elongation_pct: Sequence[float],
    threshold_pct: float,
    confidence: float = 0.95,
) -> Projection:
    """
    Where the line through the readings crosses the limit.

    x               kilometres or days since the chain was fitted, one for each reading
    elongation_pct  what was measured then, all with the same instrument
    threshold_pct   the limit that counts
    confidence      of the interval, between 0 and 1

    Raises NoProjection where the readings are too few, too noisy or do not rise.
    Source: least squares, interval by Fieller's theorem; compared with scipy in the tests.
    """
    line = _fit(x, elongation_pct)
    if line.slope <= 0:
        raise NoProjection(
            _("No projection: these readings do not rise. Measure again after some more riding.")
        )
    t = t_quantile((1 + confidence) / 2, degrees=line.readings - 2)
    g = (t * line.residual / line.slope) ** 2 / line.spread_x
    if g >= 1:
        raise NoProjection(
            _(
                "No projection: the readings scatter too much to tell wear from noise."
                " Take more of them, over a longer way and over more links."
            )
        )
    away = (threshold_pct - line.mean_y) / line.slope
    half = t * line.residual / (line.slope * (1 - g))
    half *= math.sqrt((1 - g) / line.readings + away**2 / line.spread_x)
    middle = line.mean_x + away / (1 - g)
    return Projection(line.slope, line.mean_x + away, middle - half, middle + half)


def is_far_beyond(projection: Projection, x: Sequence[float]) -> bool:
    """Whether the crossing lies so far after the readings that the line is a guess."""
    return projection.crossing > min(x) + FAR_BEYOND * (max(x) - min(x))


def _fit(x: Sequence[float], y: Sequence[float]) -> _Line:
    count = len(x)
    if count != len(y):
        raise NoProjection(
            _("There are {x} distances but {y} readings: give one reading for each.").format(
                x=count, y=len(y)
            )
        )
    if count < FEWEST_READINGS:
        raise NoProjection(
            _("No projection: at least three readings are needed. Measure again later.")
        )
    mean_x, mean_y = math.fsum(x) / count, math.fsum(y) / count
    spread_x = math.fsum((a - mean_x) ** 2 for a in x)
    if spread_x == 0:
        raise NoProjection(
            _("No projection: all readings are of the same distance. Measure again later.")
        )
    slope = math.fsum((a - mean_x) * (b - mean_y) for a, b in zip(x, y, strict=True)) / spread_x
    squares = math.fsum((b - mean_y - slope * (a - mean_x)) ** 2 for a, b in zip(x, y, strict=True))
    return _Line(slope, mean_x, mean_y, spread_x, math.sqrt(squares / (count - 2)), count)
