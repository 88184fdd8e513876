"""What was read, in the unit of the limits it is held against."""

from collections.abc import Mapping
from typing import Any

from shopfloor.trade.chain import ReadingOutOfRange, elongation_percent
from shopfloor.trade.units import UnknownUnit, convert_torque


def in_unit_of(ask: Mapping[str, Any], body: Mapping[str, Any]) -> float | None:
    """A reading in the unit of the ask's limits; None for loose, a choice, or another quantity."""
    value, unit, wanted = body.get("value"), body.get("unit"), ask.get("unit")
    if ask["kind"] == "choice" or value is None or body.get("loose"):
        return None
    if wanted in (None, unit):
        return float(value)
    also = ask.get("also")
    try:
        if also and unit == also["unit"]:
            return elongation_percent(length_mm=value, pitches=also["pitches"])
        return convert_torque(value, unit=str(unit), to=str(wanted))
    except (ReadingOutOfRange, UnknownUnit):
        return None
