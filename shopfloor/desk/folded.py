"""One job, folded once, with the names of everything its entries only know by id."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shopfloor.desk.words import Names
from shopfloor.jobs.models import Job
from shopfloor.jobs.queries import progress_of, state_of
from shopfloor.journal.progress import Progress, full_route
from shopfloor.journal.state import JobState
from shopfloor.workshop.models import DeviceKind, Person


@dataclass(frozen=True)
class Folded:
    """A job with everything that is computed from its entries once for the page."""

    job: Job
    state: JobState
    route: Sequence[Mapping[str, Any]]
    progress: Progress
    names: Names


def read_job(job: Job) -> Folded:
    """Fold the job and look up what its ids are called."""
    state = state_of(job)
    route = full_route(job.route, state)
    return Folded(job, state, route, progress_of(job, state), _names(job, state, route))


def _names(job: Job, state: JobState, route: Sequence[Mapping[str, Any]]) -> Names:
    shop = job.workshop
    desk = shop.devices.filter(kind=DeviceKind.DESK).first()
    return Names(
        people={str(person.id): person.name for person in Person.objects.filter(workshop=shop)},
        desk=str(desk.id) if desk else "",
        steps={step["key"]: step["title"] for step in route},
        asks={(step["key"], ask["item"]): ask for step in route for ask in step.get("asks") or ()},
        findings={row["id"]: str(row["body"].get("title", "")) for row in state["findings"]},
        currency=shop.currency,
        instruments={str(tool.id): tool.name for tool in shop.instruments.all()},
    )
