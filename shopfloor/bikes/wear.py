"""
How a part wore over the visits of a bike, since when it is on the bike, and how long it may last.

Pure. The line and its interval are of trade/projection.py, which may refuse; here is decided only
which readings belong to the same part.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from statistics import linear_regression

from shopfloor.trade.projection import (
    FEWEST_READINGS,
    NoProjection,
    Projection,
    is_far_beyond,
    project_wear,
)
from shopfloor.words import gettext as _

# A part that reads better by this share of its limit was renewed; common practice, no source.
RENEWED = 0.15
DAY = timedelta(days=1)
# Nobody plans a visit beyond this; an interval that reaches further has no end.
HORIZON_DAYS = 3650


@dataclass(frozen=True)
class Reading:
    """A value in the unit of the limit; `is_new` where it was taken after the part was renewed."""

    at: datetime
    value: float
    tag: str
    is_new: bool = False


@dataclass(frozen=True)
class Outlook:
    """When the limit is reached, between which days with 95 % confidence; or why nobody can say."""

    says_no: str = ""
    on: datetime | None = None
    early: datetime | None = None
    late: datetime | None = None
    is_far: bool = False
    per_day: float = 0.0


@dataclass(frozen=True)
class Wear:
    """The life of one part in readings; the last of `parts` is on the bike now."""

    item: str
    label: str
    unit: str
    limit: float
    falls: bool
    parts: Sequence[Sequence[Reading]]
    outlook: Outlook


def wear_of(
    *, item: str, label: str, unit: str, limit: float, falls: bool, readings: Sequence[Reading]
) -> Wear:
    """
    limit     at which the part is renewed, in `unit`
    falls     whether the value goes down with wear, as a pad's does; a chain's goes up
    readings  in order of time
    """
    parts = _parts(readings, limit=limit, falls=falls)
    outlook = _outlook(parts[-1], limit=limit, falls=falls)
    return Wear(item, label, unit, limit, falls, parts, outlook)


def _parts(readings: Sequence[Reading], *, limit: float, falls: bool) -> list[list[Reading]]:
    parts: list[list[Reading]] = []
    for reading in readings:
        if not parts or _is_another(parts[-1][-1], reading, limit=limit, falls=falls):
            parts.append([])
        parts[-1].append(reading)
    return parts


def _is_another(last: Reading, reading: Reading, *, limit: float, falls: bool) -> bool:
    better = (reading.value - last.value) * (1 if falls else -1)
    return reading.is_new or better > RENEWED * abs(limit)


def _outlook(part: Sequence[Reading], *, limit: float, falls: bool) -> Outlook:
    sign = -1.0 if falls else 1.0
    days = [(reading.at - part[0].at) / DAY for reading in part]
    try:
        found = project_wear(
            x=days,
            elongation_pct=[sign * reading.value for reading in part],
            threshold_pct=sign * limit,
        )
    except NoProjection as refusal:
        return Outlook(says_no=_no_wear(part, days, sign) or str(refusal))
    return _dated(found, days, part[0].at, sign)


def _no_wear(part: Sequence[Reading], days: Sequence[float], sign: float) -> str:
    """The refusal of a part that does not wear, for it may be one whose readings fall."""
    if len(part) < FEWEST_READINGS or len(set(days)) == 1:
        return ""
    slope = linear_regression(days, [sign * reading.value for reading in part]).slope
    if slope > 0:
        return ""
    return _("No projection: these readings show no wear. Measure again after some more riding.")


def _dated(found: Projection, days: Sequence[float], start: datetime, sign: float) -> Outlook:
    return Outlook(
        on=_day(start, found.crossing),
        early=_day(start, found.low),
        late=_day(start, found.high),
        is_far=is_far_beyond(found, days),
        per_day=sign * found.slope,
    )


def _day(start: datetime, days: float) -> datetime | None:
    return start + timedelta(days=days) if abs(days) <= HORIZON_DAYS else None
