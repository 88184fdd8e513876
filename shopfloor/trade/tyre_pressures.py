"""
How hard a tyre may and should be pumped, and whether its width suits the rim.

The lower of the marks on tyre and rim comes first. See also frontend/src/trade/tyres.ts.
"""

from typing import Final

from shopfloor.trade.tables import get_row
from shopfloor.trade.units import KILOPASCALS_PER
from shopfloor.words import gettext as _

_POUND_KG: Final = 0.45359237
# The fit was made over these loads and widths; beyond them published fits part by 10 psi.
_LOADS_KG: Final = (20 * _POUND_KG, 220 * _POUND_KG)
_WIDTHS_MM: Final = (18.0, 40.0)
OFF_ROAD: Final = "off-road"
ROAD: Final = "road"


class NoPressure(ValueError):
    """No pressure can be said for this."""


def pressure_limit_bar(
    *, tyre_max_bar: float | None, rim_max_bar: float | None, hookless: bool = False
) -> float:
    """
    The most that tyre and rim bear together, in bar.

    tyre_max_bar, rim_max_bar  as marked; None where there is no mark
    hookless                   a rim without hooks holds 5 bar at most

    Raises NoPressure when nothing is marked. Source: the lower mark; ETRTO limit as reported.
    """
    limits = [limit for limit in (tyre_max_bar, rim_max_bar) if limit is not None]
    if hookless:
        limits.append(float(get_row("tyre_limits", "hookless")["max_bar"]))
    if not limits:
        raise NoPressure(_("Give the highest pressure marked on the tyre or on the rim."))
    return min(limits)


def pressure_for_load_bar(*, load_kg: float, width_mm: float) -> float:
    """
    The pressure in bar at which a tyre sinks in by about 15 % of its height.

    load_kg   on this wheel, rider and bike
    width_mm  of the tyre, measured on the rim

    Raises NoPressure outside 9 to 100 kg and 18 to 40 mm.
    Source: fit to a chart of tyre drop, white paper with DOI 10.5281/zenodo.20671797.
    """
    if not _LOADS_KG[0] <= load_kg <= _LOADS_KG[1]:
        raise NoPressure(
            _("{load} kg is outside 9 to 100 kg: give the load on this one wheel.").format(
                load=f"{load_kg:g}"
            )
        )
    if not _WIDTHS_MM[0] <= width_mm <= _WIDTHS_MM[1]:
        raise NoPressure(
            _(
                "{width} mm is outside 18 to 40 mm, where the formula holds: go by the marks on"
                " the tyre."
            ).format(width=f"{width_mm:g}")
        )
    psi = 600 * (load_kg / _POUND_KG) / width_mm**2 + 0.75 * width_mm - 25
    return psi * KILOPASCALS_PER["psi"] / KILOPASCALS_PER["bar"]


def minimum_pressure_kpa(*, width_mm: float, use: str = ROAD) -> float:
    """
    The least that a tyre is pumped to, in kPa.

    use  road or off-road

    Source: ISO 5775-1, an older edition.
    """
    narrow = get_row("tyre_limits", "minimum:narrow")
    if use == ROAD and width_mm <= narrow["up_to_mm"]:
        return float(narrow["kpa"])
    return float(get_row("tyre_limits", f"minimum:{use}")["kpa"])


def width_suits_rim(*, tyre_mm: float, rim_internal_mm: float, hookless: bool = False) -> bool:
    """
    Whether a tyre is neither too narrow nor too wide for a rim.

    rim_internal_mm  between the walls, where the beads sit

    Common practice; on a rim without hooks the ETRTO's least widths as well.
    """
    ratio = get_row("tyre_limits", "ratio")
    if hookless and tyre_mm < least_hookless_mm(rim_internal_mm):
        return False
    return bool(ratio["min"] <= tyre_mm / rim_internal_mm <= ratio["max"])


def least_hookless_mm(rim_internal_mm: float) -> float:
    """The narrowest tyre for a rim without hooks, in mm."""
    wide = get_row("tyre_limits", "hookless:wide")
    row = wide if rim_internal_mm >= wide["from_rim_mm"] else get_row("tyre_limits", "hookless")
    return float(row["min_tyre_mm"])
