"""
Wear as a small picture: readings over time, the limit, and where the line will cross it.

Pure: everything in hundredths of the picture's width and height, zero at the top left.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

from shopfloor.bikes.wear import Wear

WIDTH, HEIGHT = 100.0, 36.0
# Room above and below the outermost value, as a share of what is shown.
MARGIN = 0.12
LEAST_SPAN = timedelta(days=30)
Point = tuple[float, float]


@dataclass(frozen=True)
class Picture:
    """`parts` of points, the present one last; a line and its interval only where it is known."""

    parts: list[list[Point]]
    limit_y: float
    start: datetime
    end: datetime
    line: tuple[Point, Point] | None
    interval: tuple[float, float] | None
    crossing: float | None


def picture_of(wear: Wear) -> Picture:
    """The drawing of one part's life."""
    readings = [reading for part in wear.parts for reading in part]
    outlook, start = wear.outlook, readings[0].at
    last = max(filter(None, (readings[-1].at, outlook.on, outlook.late or outlook.on)))
    end = max(last, start + LEAST_SPAN)
    values = [reading.value for reading in readings] + [wear.limit]
    low, high = min(values), max(values)
    room = (high - low or 1.0) * MARGIN

    def x(at: datetime) -> float:
        return round(min(1.0, max(0.0, (at - start) / (end - start))) * WIDTH, 1)

    def y(value: float) -> float:
        return round((high + room - value) / (high - low + 2 * room) * HEIGHT, 1)

    present = wear.parts[-1]
    line = interval = None
    if outlook.on:
        first = wear.limit - outlook.per_day * ((outlook.on - present[0].at) / timedelta(days=1))
        line = ((x(present[0].at), y(first)), (x(outlook.on), y(wear.limit)))
        interval = (x(outlook.early or start), x(outlook.late or end))
    return Picture(
        parts=[[(x(one.at), y(one.value)) for one in part] for part in wear.parts],
        limit_y=y(wear.limit),
        start=start,
        end=end,
        line=line,
        interval=interval,
        crossing=x(outlook.on) if outlook.on else None,
    )
