"""
Where on its small scale does a reading lie, and where the allowed band?

Everything in hundredths of the scale's length, so that page and paper draw the same picture.
"""

from collections.abc import Mapping, Sequence
from typing import Any

Scale = dict[str, Any]


def scale_of(ask: Mapping[str, Any], found: Sequence[float], left: Sequence[float]) -> Scale | None:
    """
    The band and the readings on the ask's scale; None where no scale or no limit is known.

    found, left  in the unit of the ask's limits
    """
    rule, ends = ask.get("rule"), ask.get("scale")
    if not rule or not ends or ends[1] <= ends[0]:
        return None
    band = [_place(edge, ends) for edge in _edges(rule, ends)]
    return {
        "band": band,
        "width": round(band[1] - band[0], 1),
        "found": [_place(value, ends) for value in found],
        "left": [_place(value, ends) for value in left],
    }


def _edges(rule: Mapping[str, Any], ends: Sequence[float]) -> tuple[float, float]:
    if rule["type"] == "minimum":
        return rule["renew"], ends[1]
    if rule["type"] == "maximum":
        return ends[0], rule["renew"]
    return rule["min"], rule["max"]


def _place(value: float, ends: Sequence[float]) -> float:
    """A value beyond the scale is drawn at its end."""
    share = (value - ends[0]) / (ends[1] - ends[0]) * 100
    return round(min(100.0, max(0.0, share)), 1)
