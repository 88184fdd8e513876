"""
What a torque wrench must be set to, how far it may be off, and when a reading is accepted.

Torque is not preload: a right reading on a wrongly greased bolt is still wrong.
"""

import math
from calendar import monthrange
from collections.abc import Sequence
from datetime import date
from statistics import NormalDist
from typing import Final

from shopfloor.words import gettext as _

# ISO 6789, adjustable click wrench (type II class A): 6 % up to 10 N·m, 4 % above.
CLASS_A_BELOW: Final = 0.06
CLASS_A_ABOVE: Final = 0.04
CLASS_A_EDGE_NM: Final = 10.0
# Test points lie at 20, 60 and 100 % of the scale (ISO 6789): below the first nothing is known.
LOWEST_IS_ONE_OF: Final = 5
# ISO 6789 unless the user has another rule; from memory of the standard.
CALIBRATION_MONTHS: Final = 12
CALIBRATION_CYCLES: Final = 5000


class WrenchOutOfReach(ValueError):
    """The extension, length or number given cannot be worked with."""


def wrench_setting(
    *, wanted: float, wrench_length: float, extension: float, angle_deg: float = 0.0
) -> float:
    """
    What to set so that the fastener gets what is wanted, in the unit of `wanted`.

    wrench_length  middle of the grip to the drive
    extension      drive to fastener, same unit; negative when it points back at the grip
    angle_deg      between wrench and extension; at 90 nothing changes

    Raises WrenchOutOfReach. Source: lever arms, as in naval aviation training 14315.
    """
    return wanted / _leverage(wrench_length, extension, angle_deg)


def torque_at_fastener(
    *, setting: float, wrench_length: float, extension: float, angle_deg: float = 0.0
) -> float:
    """What reaches the fastener at a setting. Source: as wrench_setting; army TM 9-254."""
    return setting * _leverage(wrench_length, extension, angle_deg)


def _leverage(wrench_length: float, extension: float, angle_deg: float) -> float:
    if wrench_length <= 0:
        raise WrenchOutOfReach(_("The length from grip to drive must be more than nothing."))
    reach = wrench_length + extension * math.cos(math.radians(angle_deg))
    if reach <= 0:
        raise WrenchOutOfReach(_("The extension reaches back past the grip: turn it round."))
    return reach / wrench_length


def permissible_deviation(setting_nm: float) -> float:
    """How far a good click wrench may be off at a setting, in N·m. Source: ISO 6789."""
    share = CLASS_A_BELOW if setting_nm <= CLASS_A_EDGE_NM else CLASS_A_ABOVE
    return setting_nm * share


def standard_uncertainty(setting_nm: float, *, class_pct: float) -> float:
    """
    Standard uncertainty of a torque set with a wrench of this class, in N·m.

    class_pct  the percentage it may be off; any error inside is taken as equally likely

    Source: rectangular distribution, GUM (JCGM 100) 4.3.7.
    """
    return abs(setting_nm) * class_pct / 100 / math.sqrt(3)


def is_in_range(*, needed_nm: float, max_nm: float, min_nm: float | None = None) -> bool:
    """
    Whether a wrench may be trusted at a torque.

    min_nm  the lowest mark of its scale; a fifth of the highest where none is known
    """
    lowest = max_nm / LOWEST_IS_ONE_OF if min_nm is None else min_nm
    return lowest <= needed_nm <= max_nm


def calibration_state(
    *, last_calibrated_on: date, on: date, cycles_since: int = 0, dropped: bool = False
) -> str:
    """
    “current” or “overdue”.

    cycles_since  clicks since the calibration
    dropped       or overloaded or repaired since then, which ends it at once

    Source: ISO 6789, 12 months or 5000 cycles, whichever comes first (memory).
    """
    late = on > calibration_due(last_calibrated_on)
    return "overdue" if dropped or late or cycles_since > CALIBRATION_CYCLES else "current"


def calibration_due(last_calibrated_on: date) -> date:
    """The last day of a calibration. Source: ISO 6789, 12 months (memory)."""
    return _months_later(last_calibrated_on, CALIBRATION_MONTHS)


def _months_later(day: date, months: int) -> date:
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def acceptance_limits(
    *, lower: float, upper: float, standard_uncertainty: float, guard_factor: float = 2.0
) -> tuple[float, float]:
    """
    The band in which a reading is accepted: the tolerance less the guard at either end.

    guard_factor  2 in the older rule; 1.65 for 95 % by ISO 14253-1:2017 (memory)

    Raises WrenchOutOfReach when nothing is left in between. Source: ISO 14253-1.
    """
    guard = guard_factor * standard_uncertainty
    if lower + guard > upper - guard:
        raise WrenchOutOfReach(
            _(
                "The tool is too coarse for this band: no reading could be accepted. Use a finer"
                " one."
            )
        )
    return lower + guard, upper - guard


def conformance_probability(
    *, reading: float, standard_uncertainty: float, lower: float | None, upper: float | None
) -> float:
    """The chance that the true value lies in the tolerance. Source: JCGM 106, normal model."""
    if standard_uncertainty <= 0:
        raise WrenchOutOfReach(_("The standard uncertainty must be more than nothing."))
    model = NormalDist(reading, standard_uncertainty)
    below_upper = 1.0 if upper is None else model.cdf(upper)
    return below_upper - (0.0 if lower is None else model.cdf(lower))


def limit_of_clamped_parts(limits_nm: Sequence[float]) -> float:
    """The lower of the marks on two clamped parts wins, never the average. Common practice."""
    if not limits_nm:
        raise WrenchOutOfReach(_("Give the limit marked on at least one of the parts."))
    return min(limits_nm)
