"""
How long spokes must be, how tight the two sides may be to each other, and where the rim stands.

Knows the wheel's geometry only; a rim's own limit of tension comes first.
"""

import math
from collections.abc import Sequence
from statistics import fmean
from typing import Final, NamedTuple

from shopfloor.words import gettext as _

# A spoke bends into its hole: its length is measured from the inside of the elbow.
_HALF: Final = 0.5
FEWEST_SPOKES: Final = 2


class NotAWheel(ValueError):
    """These measures cannot be those of one wheel."""


class Side(NamedTuple):
    """
    One side of a hub and its spokes.

    hole_circle_radius_mm  hub centre to the spoke holes
    flange_offset_mm       flange to the plane of the rim
    spokes                 on this side
    crossings              other spokes of this side that each one crosses
    """

    hole_circle_radius_mm: float
    flange_offset_mm: float
    spokes: int
    crossings: float


class Evenness(NamedTuple):
    """Mean tension of one side, and the places in the list that stray from it, the first being"
    " 0."""

    mean: float
    outliers: list[int]


def spoke_length_mm(*, effective_rim_radius_mm: float, side: Side, hole_mm: float = 0.0) -> float:
    """
    The spoke's length in mm, from the inside of its elbow to the end of its thread.

    effective_rim_radius_mm  hub centre to where the spokes end in their nipples
    hole_mm                  diameter of the spoke holes; half of it is taken off

    Raises NotAWheel. Source: law of cosines; example of tristable.net/bike/spoke_length.txt.
    """
    r, w, rim = side.hole_circle_radius_mm, side.flange_offset_mm, effective_rim_radius_mm
    if side.spokes < FEWEST_SPOKES:
        raise NotAWheel(_("A wheel needs at least two spokes on each side: count again."))
    if r >= rim:
        raise NotAWheel(_("The rim must be larger than the hub: give radii, not diameters."))
    angle = 2 * math.pi * side.crossings / side.spokes
    if angle >= math.pi:
        raise NotAWheel(_("So many crossings do not fit this number of spokes: count again."))
    return math.sqrt(rim**2 + r**2 + w**2 - 2 * rim * r * math.cos(angle)) - hole_mm * _HALF


def tension_ratio(*, effective_rim_radius_mm: float, left: Side, right: Side) -> float:
    """
    Tension of a left spoke as a share of a right one, which holds the rim in its plane.

    Raises NotAWheel. Source: forces across the wheel balance.
    """
    pulls = [
        side.spokes
        * side.flange_offset_mm
        / spoke_length_mm(effective_rim_radius_mm=effective_rim_radius_mm, side=side)
        for side in (left, right)
    ]
    if pulls[0] <= 0:
        raise NotAWheel(_("The left flange must stand off the plane of the rim: measure again."))
    return pulls[1] / pulls[0]


def evenness(*, tension_kgf: Sequence[float], limit_pct: float = 20.0) -> Evenness:
    """
    Which spokes of one side differ from their mean by more than a share of it.

    tension_kgf  of every spoke of one side, in order; any unit
    limit_pct    common practice: 20, a good shop 10

    Raises NotAWheel.
    """
    if len(tension_kgf) < FEWEST_SPOKES:
        raise NotAWheel(_("Give the tension of every spoke of one side, at least two."))
    mean = fmean(tension_kgf)
    if mean <= 0:
        raise NotAWheel(_("These spokes have no tension: measure again."))
    limit = mean * limit_pct / 100 * (1 + 1e-9)
    return Evenness(mean, [i for i, t in enumerate(tension_kgf) if abs(t - mean) > limit])


def dish_mm(*, gap_left_mm: float, gap_right_mm: float) -> float:
    """
    How far the rim stands off the middle in mm, more than 0 where the left gap is the larger.

    gap_left_mm, gap_right_mm  under a dish gauge set to the other side: the gap reads double

    Common practice.
    """
    return (gap_left_mm - gap_right_mm) / 2
