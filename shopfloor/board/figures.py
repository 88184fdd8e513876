"""How long bikes were here, and how many promises were kept, of late."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from statistics import median
from uuid import UUID

from django.utils.dateparse import parse_datetime

from shopfloor.board.waits import KINDS, Said, waits_of
from shopfloor.jobs.models import Job, StoredEntry
from shopfloor.planning.opening import Calendar
from shopfloor.planning.turnaround import Turnaround, turnaround
from shopfloor.promises.models import Promise
from shopfloor.workshop.models import Workshop

PERIODS = (30, 90)
FEWEST = 5


@dataclass(frozen=True)
class Figures:
    """
    Of the jobs handed over in the last `days`: the median stay from taken in to ready, in days
    of the wall calendar and in open hours without the waits. None where too few jobs say nothing.
    """

    days: int
    jobs: int
    wall_days: float | None
    net_hours: float | None
    promises: int
    kept: int


def figures(*, workshop: Workshop, calendar: Calendar, at: datetime) -> list[Figures]:
    """One row for each period; the calendar must reach back that far."""
    since = at - timedelta(days=max(PERIODS))
    # Only the desk hands over, and what it writes is folded at once.
    jobs = Job.objects.of(workshop).filter(place="collected", collected_at__gte=since)
    said = _said(workshop, since)
    stays = [
        (collected, _stay(calendar, opened, ready, said.get(job_id, ())))
        for job_id, opened, ready, collected in jobs.values_list(
            "id", "opened_at", "released_at", "collected_at"
        )
        if ready and collected
    ]
    told = Promise.objects.filter(
        job__workshop=workshop, standing__in=["kept", "broken"], job__released_at__gte=since
    ).values_list("standing", "job__released_at")
    settled = [(standing, released) for standing, released in told if released]
    return [_row(days, stays, settled, at) for days in PERIODS]


def _said(workshop: Workshop, since: datetime) -> Mapping[UUID, list[Said]]:
    rows = StoredEntry.objects.filter(
        workshop=workshop, job__place="collected", job__collected_at__gte=since, kind__in=KINDS
    ).values_list("job_id", "wire")
    found: dict[UUID, list[Said]] = defaultdict(list)
    for job_id, wire in rows:
        at = parse_datetime(wire["at"])
        if at:
            supersedes = tuple(wire["supersedes"])
            found[job_id].append(Said(wire["id"], wire["kind"], wire["body"], at, supersedes))
    return found


def _stay(
    calendar: Calendar, opened: datetime, ready: datetime, said: Sequence[Said]
) -> Turnaround:
    waits = waits_of(said, until=ready)
    return turnaround(calendar, received=opened, ready=ready, waits=waits)


def _row(
    days: int,
    stays: Sequence[tuple[datetime, Turnaround]],
    told: Sequence[tuple[str, datetime]],
    at: datetime,
) -> Figures:
    since = at - timedelta(days=days)
    own = [stay for collected, stay in stays if collected >= since]
    settled = [standing for standing, released in told if released >= since]
    enough = len(own) >= FEWEST
    return Figures(
        days=days,
        jobs=len(own),
        wall_days=median(stay.gross_wall for stay in own) / 1440 if enough else None,
        net_hours=median(stay.net_open for stay in own) / 60 if enough else None,
        promises=len(settled),
        kept=settled.count("kept"),
    )
