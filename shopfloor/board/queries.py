"""Every open job under the day it is promised for, and what each day can still carry."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from functools import lru_cache
from typing import Any

from django.utils.dateparse import parse_datetime

from shopfloor.board.figures import PERIODS, Figures, figures
from shopfloor.jobs.models import Job
from shopfloor.jobs.queries import jobs_of
from shopfloor.jobs.words import service_in_words, stage_in_words
from shopfloor.planning.opening import Calendar, HorizonExceeded
from shopfloor.planning.ready import Ready
from shopfloor.promises import services as promises
from shopfloor.trade.route import compose, minutes
from shopfloor.workshop.models import Person, Workshop
from shopfloor.workshop.queries import calendar_of

FEWEST_DAYS = 7
MOST_DAYS = 35
BAR = 100
HEADLINE_BIKE = "city"


@dataclass(frozen=True)
class Row:
    """One job in one line."""

    job: Job
    service: str
    stage: str
    waits: list[dict[str, Any]]
    at_work: list[str]
    minutes_left: int
    minutes_total: int

    @property
    def minutes_done(self) -> int:
        return max(0, self.minutes_total - self.minutes_left)

    @property
    def says_stage(self) -> bool:
        """The next stage is worth a word only where somebody can go on with it."""
        return bool(self.stage) and self.job.place in ("booked", "on the stand")


@dataclass
class Band:
    """One day: what is promised for it against what the shop can do in the hours left of it."""

    on: date
    hours: str
    name: str
    capacity: int
    is_today: bool
    rows: list[Row] = field(default_factory=list)

    @property
    def is_open(self) -> bool:
        return bool(self.hours)

    @property
    def promised(self) -> int:
        return sum(row.minutes_left for row in self.rows)

    @property
    def over(self) -> int:
        return max(0, self.promised - self.capacity)

    def _share(self, part: int) -> int:
        return round(BAR * part / max(self.capacity, self.promised, 1))

    @property
    def bar(self) -> dict[str, int]:
        """Lengths for the drawn bar: what fits, what is over, and where the day is full."""
        return {
            "fits": self._share(min(self.promised, self.capacity)),
            "over": self._share(self.over),
            "full": self._share(self.capacity),
        }


@dataclass(frozen=True)
class Board:
    at: datetime
    late: list[Row]
    bands: list[Band]
    later: list[Row]
    unpromised: list[Row]
    ready: list[Row]
    headline: Ready | None
    figures: list[Figures]

    @property
    def late_minutes(self) -> int:
        return sum(row.minutes_left for row in self.late)


def board(*, workshop: Workshop, at: datetime) -> Board:
    """The whole board, from a number of queries that does not grow with the jobs."""
    people = list(Person.objects.filter(workshop=workshop))
    rows = _rows(workshop, {str(person.id): person.name for person in people})
    # It reaches back as far as the figures look.
    calendar = calendar_of(workshop, on=at.date() - timedelta(days=max(PERIODS) + 30))
    mechanics = sum(person.is_active and person.role == "mechanic" for person in people) or 1
    working = [row for row in rows if row.job.place != "ready"]
    bands = _bands(calendar, working, mechanics, at)
    shown = {band.on for band in bands}
    return Board(
        at=at,
        late=[row for row in working if _is_late(row, at)],
        bands=bands,
        later=[row for row in working if _is_later(row, calendar, shown, at)],
        unpromised=[row for row in working if row.job.promised_at is None],
        ready=[row for row in rows if row.job.place == "ready"],
        headline=_headline(workshop, at),
        figures=figures(workshop=workshop, calendar=calendar, at=at),
    )


def _rows(workshop: Workshop, names: Mapping[str, str]) -> list[Row]:
    jobs = jobs_of(workshop).open().in_promise_order()
    # A route is 60 kB of steps; the board needs none of them.
    return [_row(job, names) for job in jobs.select_related("bike", "customer").defer("route")]


def _row(job: Job, names: Mapping[str, str]) -> Row:
    summary = job.summary
    return Row(
        job=job,
        service=service_in_words(job.service),
        stage=stage_in_words(summary.get("stage")),
        waits=[
            wait | {"since": parse_datetime(wait["since"]) if wait.get("since") else None}
            for wait in summary.get("waits", [])
        ],
        at_work=[names[person] for person in summary.get("at_work", []) if person in names],
        minutes_left=int(summary.get("minutes_left", 0)),
        minutes_total=int(summary.get("minutes_total", 0)),
    )


def _is_late(row: Row, at: datetime) -> bool:
    return row.job.promised_at is not None and row.job.promised_at < at


def _is_later(row: Row, calendar: Calendar, shown: set[date], at: datetime) -> bool:
    if row.job.promised_at is None or _is_late(row, at):
        return False
    return _day_of(row, calendar) not in shown


def _day_of(row: Row, calendar: Calendar) -> date | None:
    promised = row.job.promised_at
    return promised.astimezone(calendar.zone).date() if promised else None


def _bands(calendar: Calendar, rows: Sequence[Row], mechanics: int, at: datetime) -> list[Band]:
    """From today to the last promised day; a week at least, five at most."""
    today = at.astimezone(calendar.zone).date()
    coming = [row for row in rows if not _is_late(row, at)]
    by_day: dict[date | None, list[Row]] = {}
    for row in coming:
        by_day.setdefault(_day_of(row, calendar), []).append(row)
    last = max((day for day in by_day if day), default=today)
    count = min(max((last - today).days + 1, FEWEST_DAYS), MOST_DAYS)
    days = [today + timedelta(days=ahead) for ahead in range(count)]
    return [_band(calendar, day, by_day.get(day, []), mechanics, at) for day in days]


def _band(calendar: Calendar, day: date, rows: list[Row], mechanics: int, at: datetime) -> Band:
    openings = [(max(start, at), end) for start, end in calendar.opens_on(day)]
    open_minutes = sum((end - start).total_seconds() / 60 for start, end in openings if start < end)
    return Band(
        on=day,
        hours=", ".join(f"{start}–{end}" for start, end in calendar.spans_on(day)),
        name=calendar.names.get(day, ""),
        capacity=round(open_minutes * mechanics),
        is_today=day == at.astimezone(calendar.zone).date(),
        rows=rows,
    )


def _headline(workshop: Workshop, at: datetime) -> Ready | None:
    """What a standard service taken in now could be promised; None in a shop that never opens."""
    try:
        return promises.promise_for_new(workshop=workshop, own_minutes=_usual_minutes(), at=at)
    except HorizonExceeded:
        return None


@lru_cache(maxsize=1)
def _usual_minutes() -> int:
    return minutes(compose({"kind": HEADLINE_BIKE}, "standard"))["typical"]
