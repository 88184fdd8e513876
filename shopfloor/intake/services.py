"""Taking a bike in: who brings it, what it is, what is agreed, and by when."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID, uuid4

from django.db import transaction

from shopfloor.customers.models import Bike, Customer
from shopfloor.customers.services import keep_customer
from shopfloor.intake.queries import find_bike
from shopfloor.jobs import services as journal
from shopfloor.jobs.models import Job
from shopfloor.jobs.routes import route_sha
from shopfloor.journal.permissions import check_can_take_in
from shopfloor.outbox.phone import decide_phone
from shopfloor.planning.ready import Ready
from shopfloor.promises import services as promises
from shopfloor.trade.route import SERVICES, compose, minutes
from shopfloor.trade.tables import CATALOGUE
from shopfloor.words import gettext as _
from shopfloor.workshop.models import Person, Workshop


class NotClear(Exception):
    """Something on the form cannot be used; `errors` has one sentence per field."""

    def __init__(self, errors: Mapping[str, str]) -> None:
        super().__init__("Some answers need another look.")
        self.errors = dict(errors)


@dataclass(frozen=True)
class Intake:
    """What the desk wrote down. Amounts in minor units."""

    customer_name: str
    phone: str
    email: str
    bike_words: str
    frame_number: str
    traits: Mapping[str, Any]
    service: str
    says: str
    go_ahead_minor: int
    price_minor: int
    bike_id: str = ""


@dataclass(frozen=True)
class Opening:
    """How a job begins: by which route, since when, and with the id that a phone may have given."""

    route: Sequence[Mapping[str, Any]]
    opened_at: datetime
    catalogue: str = CATALOGUE
    job_id: UUID = field(default_factory=uuid4)


def ready_for(
    *, workshop: Workshop, traits: Mapping[str, Any], service: str, at: datetime
) -> Ready:
    """When such a job taken in now would be ready, and why."""
    return ready_by(workshop=workshop, route=compose(traits, service), at=at)


def take_in(*, workshop: Workshop, intake: Intake, by: Person, at: datetime) -> Job:
    """
    Open a job: find or add the customer and the bike, freeze the route, promise a time.

    Raises NotClear with a sentence for each field that cannot be used, NotAllowed.
    """
    check_can_take_in(by.role)
    number, sentence = read_phone(workshop, intake)
    errors = missing(intake) | ({} if number else {"phone": sentence})
    if errors:
        raise NotClear(errors)
    opening = Opening(route=compose(intake.traits, intake.service), opened_at=at)
    with transaction.atomic():
        bike = keep_bike(customer_of(workshop, intake, number=number, at=at), intake, at=at)
        ready = ready_by(workshop=workshop, route=opening.route, at=at)
        job = open_job(bike, intake, opening, by=by, at=at)
        promise(job, ready, by=by, at=at)
    return job


def read_phone(workshop: Workshop, intake: Intake) -> tuple[str, str]:
    """The number as texts need it, or nothing; and what is to be said about it."""
    decision = decide_phone(intake.phone, workshop.region.split("-")[0])
    return decision.e164 or "", decision.sentence


def missing(intake: Intake) -> dict[str, str]:
    """One sentence for each field that a job cannot be without."""
    errors: dict[str, str] = {}
    if not intake.customer_name.strip():
        errors["customer_name"] = _("Write the customer's name.")
    if not intake.bike_words.strip():
        errors["bike_words"] = _(
            "Describe the bike in a few words, for instance its colour and type."
        )
    if intake.service not in SERVICES:
        errors["service"] = _("Choose a service.")
    return errors


def customer_of(workshop: Workshop, intake: Intake, *, number: str, at: datetime) -> Customer:
    """Whoever has the number; one that cannot be read makes nobody known."""
    return keep_customer(
        workshop=workshop,
        number=number,
        typed=intake.phone.strip(),
        name=intake.customer_name.strip(),
        email=intake.email.strip(),
        at=at,
    )


def keep_bike(customer: Customer, intake: Intake, *, at: datetime) -> Bike:
    """The customer's bike as it is described today."""
    bike = find_bike(workshop=customer.workshop, bike_id=intake.bike_id)
    if bike is None or bike.customer_id != customer.pk:
        bike = Bike(workshop=customer.workshop, customer=customer, created_at=at)
    bike.words = intake.bike_words.strip()
    bike.frame_number = intake.frame_number.strip()
    bike.traits = dict(intake.traits)
    bike.save()
    return bike


def ready_by(*, workshop: Workshop, route: Sequence[Mapping[str, Any]], at: datetime) -> Ready:
    """When a job with this route taken in now would be ready. Raises HorizonExceeded."""
    own = minutes(route)["typical"]
    return promises.promise_for_new(workshop=workshop, own_minutes=own, at=at)


def promise(job: Job, ready: Ready, *, by: Person, at: datetime) -> None:
    """Tell the first ready time of a job, with its reasons."""
    why = " ".join(ready.reasons)
    promises.make_promise(job=job, ready_at=ready.ready_at, why=why, by=by, at=at)


def open_job(bike: Bike, intake: Intake, opening: Opening, *, by: Person, at: datetime) -> Job:
    """Give a bike its job, numbered, with everything that was agreed; inside a transaction."""
    workshop = bike.workshop
    # The desk's counter before the workshop's: everything else that writes locks in that order.
    journal.desk_of(workshop, at=at)
    locked = Workshop.objects.select_for_update().only("last_job_number").get(pk=workshop.pk)
    locked.last_job_number += 1
    locked.save(update_fields=["last_job_number"])
    job = Job.objects.create(
        id=opening.job_id,
        workshop=workshop,
        number=locked.last_job_number,
        customer=bike.customer,
        bike=bike,
        service=intake.service,
        says=intake.says.strip(),
        go_ahead_minor=intake.go_ahead_minor,
        price_minor=intake.price_minor,
        route=opening.route,
        route_sha=route_sha(opening.route),
        catalogue=opening.catalogue,
        opened_at=opening.opened_at,
    )
    journal.write_entry(
        job=job,
        kind="opened",
        body={
            "number": job.tag,
            "service": job.service,
            "traits": dict(intake.traits),
            "says": job.says,
            "go_ahead_minor": job.go_ahead_minor,
            "currency": workshop.currency,
            "catalogue": job.catalogue,
        },
        by=by,
        at=at,
    )
    return job
