"""
Which limits hold for a part that carries its own mark? The mark comes before any table.

See also frontend/src/trade/mark.ts: both are held together by fixtures/cases/mark.json.
"""

from collections.abc import Mapping
from typing import Any, Final

# A part marked with one torque is set to it or a little below; common practice, no source.
BELOW_A_SINGLE_MARK: Final = 0.8


def with_mark(
    rule: Mapping[str, Any] | None, mark: Mapping[str, Any] | None
) -> Mapping[str, Any] | None:
    """
    The rule of the table, or the limits marked on the part in its place.

    rule  minimum, maximum or band as verdict.judge takes it; None where no table has a value
    mark  "min" and "max" as marked on the part, in the unit of the rule; either may be missing
    """
    low, high = (mark or {}).get("min"), (mark or {}).get("max")
    if low is None and high is None:
        return rule
    kind = rule["type"] if rule else "band"
    if kind == "band":
        return _band(low, high)
    limit = low if kind == "minimum" else high
    if rule is None or limit is None:
        return rule
    watch = rule.get("watch")
    is_useful = watch is not None and (watch > limit if kind == "minimum" else watch < limit)
    return {"type": kind, "renew": limit, "watch": watch if is_useful else None}


def _band(low: float | None, high: float | None) -> Mapping[str, Any]:
    if high is None:
        high = low
    if low is None and high is not None:
        low = high * BELOW_A_SINGLE_MARK
    return {"type": "band", "min": low, "max": high}
