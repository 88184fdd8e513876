"""Taking a bike in: who brings it, what it is, what is agreed, and by when."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction

from shopfloor.customers.models import Bike, Customer
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


def ready_for(
    *, workshop: Workshop, traits: Mapping[str, Any], service: str, at: datetime
) -> Ready:
    """When such a job taken in now would be ready, and why."""
    route = compose(traits, service)
    return promises.promise_for_new(workshop=workshop, own_minutes=minutes(route)["typical"], at=at)


def take_in(*, workshop: Workshop, intake: Intake, by: Person, at: datetime) -> Job:
    """
    Open a job: find or add the customer and the bike, freeze the route, promise a time.

    Raises NotClear with a sentence for each field that cannot be used, NotAllowed.
    """
    check_can_take_in(by.role)
    number = _check(workshop, intake)
    with transaction.atomic():
        customer = _customer(workshop, intake, number, at)
        bike = _bike(workshop, customer, intake, at)
        ready = ready_for(workshop=workshop, traits=intake.traits, service=intake.service, at=at)
        job = _open_job(bike, intake, by=by, at=at)
        promises.make_promise(
            job=job, ready_at=ready.ready_at, why=" ".join(ready.reasons), by=by, at=at
        )
    return job


def _check(workshop: Workshop, intake: Intake) -> str:
    errors: dict[str, str] = {}
    decision, number, sentence = decide_phone(intake.phone, workshop.region.split("-")[0])
    if decision == "reject" or number is None:
        errors["phone"] = sentence
    if not intake.customer_name.strip():
        errors["customer_name"] = "Write the customer's name."
    if not intake.bike_words.strip():
        errors["bike_words"] = "Describe the bike in a few words, for instance its colour and type."
    if intake.service not in SERVICES:
        errors["service"] = "Choose a service."
    if errors:
        raise NotClear(errors)
    return str(number)


def _customer(workshop: Workshop, intake: Intake, number: str, at: datetime) -> Customer:
    found, made = Customer.objects.get_or_create(
        workshop=workshop,
        phone_e164=number,
        defaults={
            "name": intake.customer_name.strip(),
            "phone_typed": intake.phone.strip(),
            "email": intake.email.strip(),
            "created_at": at,
        },
    )
    if not made:
        found.name = intake.customer_name.strip()
        found.email = intake.email.strip() or found.email
        found.save(update_fields=["name", "email"])
    return found


def _bike(workshop: Workshop, customer: Customer, intake: Intake, at: datetime) -> Bike:
    bike = find_bike(workshop=workshop, bike_id=intake.bike_id)
    if bike is None or bike.customer_id != customer.pk:
        bike = Bike(workshop=workshop, customer=customer, created_at=at)
    bike.words = intake.bike_words.strip()
    bike.frame_number = intake.frame_number.strip()
    bike.traits = dict(intake.traits)
    bike.save()
    return bike


def _open_job(bike: Bike, intake: Intake, *, by: Person, at: datetime) -> Job:
    workshop = bike.workshop
    # The desk's counter before the workshop's: everything else that writes locks in that order.
    journal.desk_of(workshop, at=at)
    locked = Workshop.objects.select_for_update().only("last_job_number").get(pk=workshop.pk)
    locked.last_job_number += 1
    locked.save(update_fields=["last_job_number"])
    route = compose(intake.traits, intake.service)
    job = Job.objects.create(
        workshop=workshop,
        number=locked.last_job_number,
        customer=bike.customer,
        bike=bike,
        service=intake.service,
        says=intake.says.strip(),
        go_ahead_minor=intake.go_ahead_minor,
        price_minor=intake.price_minor,
        route=route,
        route_sha=route_sha(route),
        catalogue=CATALOGUE,
        opened_at=at,
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
