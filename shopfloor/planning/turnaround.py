"""
How long a bike was here, and how much of that was the shop's own time.

Waits for the customer and for parts are clipped to the stay and counted once where they overlap.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import NamedTuple

from shopfloor.planning.opening import Calendar, Interval, merge_intervals


class Wait(NamedTuple):
    """A stretch in which the shop could not go on; kind is “customer” or “parts”."""

    kind: str
    start: datetime
    end: datetime


class Turnaround(NamedTuple):
    """All in minutes; open minutes count only while the shop is open."""

    gross_wall: float
    gross_open: float
    net_customer_open: float
    net_open: float
    customer_wait_open: float
    parts_only_wait_open: float


def turnaround(
    calendar: Calendar, *, received: datetime, ready: datetime, waits: Sequence[Wait] = ()
) -> Turnaround:
    """
    received  taken in
    ready     could be collected

    net_customer_open leaves the customer's own silence out, net_open missing parts as well.
    """
    gross = calendar.open_time_between(received, ready)
    customer = _open_minutes(calendar, waits, received, ready, kinds=("customer",))
    every = _open_minutes(calendar, waits, received, ready, kinds=("customer", "parts"))
    return Turnaround(
        gross_wall=(ready - received) / timedelta(minutes=1),
        gross_open=gross,
        net_customer_open=gross - customer,
        net_open=gross - every,
        customer_wait_open=customer,
        parts_only_wait_open=every - customer,
    )


def _open_minutes(
    calendar: Calendar,
    waits: Sequence[Wait],
    received: datetime,
    ready: datetime,
    *,
    kinds: Sequence[str],
) -> float:
    clipped: list[Interval] = [
        (max(wait.start, received), min(wait.end, ready)) for wait in waits if wait.kind in kinds
    ]
    merged = merge_intervals([(start, end) for start, end in clipped if start < end])
    return sum(calendar.open_time_between(start, end) for start, end in merged)
