"""
How far a turn of the cranks goes, how long a chain must be, and what a derailleur can take up.

Pure geometry; the limits of the derailleur's maker come first.
"""

import math
from collections.abc import Sequence
from typing import Final

from shopfloor.trade.chain import PITCH_MM
from shopfloor.words import gettext as _

DERAILLEUR_PITCHES: Final = 2


class NoGear(ValueError):
    """No such gear or chain is possible."""


def gear_inches(*, wheel_in: float, front: int, rear: int) -> float:
    """The wheel of a penny-farthing as hard to turn, its diameter in inches. Definition."""
    return wheel_in * front / rear


def development_m(
    *, circumference_m: float, front: int, rear: int, hub_ratio: float = 1.0
) -> float:
    """
    Metres for one turn of the cranks.

    hub_ratio  turns of the wheel for one turn of its sprocket; 1 without a hub gear
    """
    return circumference_m * front / rear * hub_ratio


def chain_length_pitches(*, chainstay_mm: float, front: int, rear: int) -> float:
    """
    Half links of a chain that lies tight around both, without a derailleur.

    chainstay_mm  axle to axle; with suspension at its longest
    front, rear   the largest teeth

    Raises NoGear. Source: roller chain handbooks, within 0.02 half links of trigonometry.
    """
    centre = chainstay_mm / PITCH_MM
    if 2 * math.pi * centre <= front + rear:
        raise NoGear(_("Ring and sprocket would touch: measure from axle to axle, in mm."))
    difference = (front - rear) / (2 * math.pi)
    return 2 * centre + (front + rear) / 2 + difference**2 / centre


def even_chain_length(*, pitches: float, derailleur_pitches: float = DERAILLEUR_PITCHES) -> int:
    """
    Half links to cut a chain to: rounded up to a whole link, for a chain closes only so.

    derailleur_pitches  added for the way through a derailleur; 0 without one
    """
    # The dust of binary fractions must not cost a link.
    return 2 * math.ceil(round((pitches + derailleur_pitches) / 2, 9))


def derailleur_capacity(*, rings: Sequence[int], cassette: Sequence[int]) -> int:
    """Teeth of slack that a rear derailleur must take up. Definition, common practice."""
    return max(rings) - min(rings) + max(cassette) - min(cassette)


def hanger_angle_deg(*, rim_offset_mm: float, rim_dia_mm: float) -> float:
    """
    How far a hanger is bent, in degrees.

    rim_offset_mm  difference of the gauge's gap at opposite places of the rim
    rim_dia_mm     across those places
    """
    return math.degrees(math.atan2(rim_offset_mm, rim_dia_mm))
