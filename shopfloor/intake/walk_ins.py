"""A bike taken in at the stand without signal: the phone has opened its job already."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from uuid import UUID

from django.db import IntegrityError, transaction

from shopfloor.intake import services
from shopfloor.intake.services import Intake, Opening
from shopfloor.jobs.models import Job
from shopfloor.jobs.routes import route_sha
from shopfloor.journal.permissions import check_can_take_in
from shopfloor.journal.shapes import is_route
from shopfloor.planning.opening import HorizonExceeded
from shopfloor.planning.ready import Ready
from shopfloor.trade.route import compose
from shopfloor.trade.tables import CATALOGUE
from shopfloor.trade.traits import UnknownTrait, fill_defaults
from shopfloor.words import gettext as _
from shopfloor.workshop.models import Person, Workshop

# A phone may be without signal for long; what its clock says beyond this is not believed.
LONGEST_WITHOUT_SIGNAL = timedelta(days=90)


class WalkInRefused(Exception):
    """It cannot be opened as it is; the phone keeps it, shows why and lets it be mended."""

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message)
        self.code = code


@dataclass(frozen=True)
class WalkIn:
    """What the phone has settled by itself; `steps` are its route, unchecked."""

    job_id: UUID
    opened_at: datetime
    catalogue: str
    steps: object


def take_in_walk_in(
    *, workshop: Workshop, intake: Intake, walk_in: WalkIn, by: Person, at: datetime
) -> tuple[Job, bool]:
    """
    Open the job that a phone has opened, and say whether it is new here: it may come twice. A
    telephone number that cannot be read is kept as typed, and the desk is asked to put it right.

    Raises WalkInRefused, NotAllowed.
    """
    check_can_take_in(by.role)
    found = _find(workshop, walk_in.job_id)
    if found:
        return found, False
    clear = _clear(intake)
    try:
        return _open(workshop, clear, walk_in, by=by, at=at), True
    except IntegrityError:
        # It came twice at once, and the other was the first.
        found = _find(workshop, walk_in.job_id)
        if found is None:
            raise
        return found, False


def _find(workshop: Workshop, job_id: UUID) -> Job | None:
    found = Job.objects.filter(id=job_id).first()
    if found and found.workshop_id != workshop.pk:
        raise WalkInRefused("id-reused", _("This job cannot be opened. Take the bike in anew."))
    return found


def _clear(intake: Intake) -> Intake:
    """With every trait that nobody was asked for as is usual."""
    missing = services.missing(intake)
    if missing:
        raise WalkInRefused("not-clear", " ".join(missing.values()))
    try:
        return replace(intake, traits=fill_defaults(intake.traits))
    except UnknownTrait as error:
        raise WalkInRefused("unknown-trait", str(error)) from error


@transaction.atomic
def _open(workshop: Workshop, intake: Intake, walk_in: WalkIn, *, by: Person, at: datetime) -> Job:
    number, _sentence = services.read_phone(workshop, intake)
    customer = services.customer_of(workshop, intake, number=number, at=at)
    opening = _opening(intake, walk_in, at)
    ready = _ready(workshop, opening, at)
    job = services.open_job(
        services.keep_bike(customer, intake, at=at), intake, opening, by=by, at=at
    )
    if ready:
        services.promise(job, ready, by=by, at=at)
    return job


def _opening(intake: Intake, walk_in: WalkIn, at: datetime) -> Opening:
    """By the server's own route, unless the phone works by another one that can be read."""
    route, catalogue = compose(intake.traits, intake.service), CATALOGUE
    steps = walk_in.steps
    if is_route(steps) and route_sha(steps) != route_sha(route):
        route, catalogue = steps, walk_in.catalogue
    is_plausible = at - LONGEST_WITHOUT_SIGNAL <= walk_in.opened_at <= at
    return Opening(
        job_id=walk_in.job_id,
        route=route,
        catalogue=catalogue,
        opened_at=walk_in.opened_at if is_plausible else at,
    )


def _ready(workshop: Workshop, opening: Opening, at: datetime) -> Ready | None:
    """None where no day can be promised: the bike is in the house all the same."""
    try:
        return services.ready_by(workshop=workshop, route=opening.route, at=at)
    except HorizonExceeded:
        return None
