"""Every visit of a bike, folded: what later pages ask of its past."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shopfloor.customers.models import Bike
from shopfloor.jobs.models import Job
from shopfloor.jobs.queries import jobs_of
from shopfloor.jobs.rows import entries_by_job
from shopfloor.journal.fold import fold
from shopfloor.journal.places import ask_place
from shopfloor.journal.progress import full_route
from shopfloor.journal.state import Head, JobState

PHASES = ("found", "left")


@dataclass(frozen=True)
class Visit:
    """One job of the bike, with its whole route and what its entries add up to."""

    job: Job
    state: JobState
    route: Sequence[Mapping[str, Any]]


@dataclass(frozen=True)
class Answer:
    """One value that stands in a visit, and what had asked for it."""

    visit: Visit
    step: Mapping[str, Any]
    ask: Mapping[str, Any]
    phase: str
    head: Head


def visits_of(bike: Bike) -> list[Visit]:
    """All visits, the oldest first."""
    related = ("customer", "workshop", "bike")
    jobs = list(
        jobs_of(bike.workshop).filter(bike=bike).select_related(*related).order_by("opened_at")
    )
    entries = entries_by_job(str(job.id) for job in jobs)
    return [_visit(job, fold(entries[str(job.id)])) for job in jobs]


def _visit(job: Job, state: JobState) -> Visit:
    return Visit(job, state, full_route(job.route, state))


def answers_of(visit: Visit) -> Iterator[Answer]:
    """Every reading and torque of a visit in working order, found before left."""
    for step in visit.route:
        for ask in step["asks"]:
            if ask["kind"] in ("reading", "torque"):
                for phase in PHASES:
                    place = ask_place(step["key"], ask["item"], phase)
                    for head in visit.state["places"].get(place, []):
                        yield Answer(visit, step, ask, phase, head)
