"""
Plain builders of rows. The same people everywhere: Mira at the stand, Otto at the desk,
Jana the customer, Sam who works elsewhere and may see nothing.
"""

from datetime import UTC, datetime
from itertools import count
from typing import Any

from shopfloor.customers.models import Bike, Customer
from shopfloor.intake import services as intake
from shopfloor.intake.services import Intake
from shopfloor.jobs import services as journal
from shopfloor.jobs.models import Job
from shopfloor.jobs.routes import route_sha
from shopfloor.outbox.models import Message
from shopfloor.workshop import services as workshops
from shopfloor.workshop.models import Person, Workshop

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)  # a Monday
PASSWORD = "stand-and-spanner"
_numbers = count(1)


def make_workshop(**facts: Any) -> Workshop:
    """A shop with the usual hours, in London."""
    return workshops.open_workshop(**({"name": "The Repair Room"} | facts))


def make_person(*, workshop: Workshop, username: str = "otto", **facts: Any) -> Person:
    """Otto, the manager, unless told otherwise."""
    facts = {"name": username.title(), "role": "manager", "password": PASSWORD} | facts
    return workshops.add_person(workshop=workshop, username=username, **facts)


def make_job(*, workshop: Workshop, **facts: Any) -> Job:
    """Jana's city bike, opened on Monday at noon, with nothing to do."""
    number = next(_numbers)
    customer = Customer.objects.create(
        workshop=workshop,
        name="Jana Field",
        phone_e164=f"+447700900{number % 1000:03}",
        phone_typed=f"07700 900{number % 1000:03}",
        created_at=NOON,
    )
    bike = Bike.objects.create(
        workshop=workshop,
        customer=customer,
        words="moss-green city bike, 8-speed hub",
        traits={"kind": "city"},
        created_at=NOON,
    )
    usual = {"service": "standard", "route": [], "catalogue": "test", "opened_at": NOON}
    facts = usual | facts
    facts["route_sha"] = route_sha(facts["route"])
    job = Job.objects.create(
        workshop=workshop, number=number, customer=customer, bike=bike, **facts
    )
    opened = {
        "number": job.tag,
        "service": job.service,
        "traits": bike.traits,
        "says": job.says,
        "go_ahead_minor": job.go_ahead_minor,
        "currency": workshop.currency,
        "catalogue": job.catalogue,
    }
    journal.write_entry(job=job, kind="opened", body=opened, by=None, at=NOON)
    return job


def make_intake(**facts: Any) -> Intake:
    """Jana with her city bike, for a standard service at the usual price."""
    usual = {
        "customer_name": "Jana Field",
        "phone": "07700 900123",
        "email": "",
        "bike_words": "moss-green city bike, 8-speed hub",
        "frame_number": "",
        "traits": {"kind": "city"},
        "service": "standard",
        "says": "The front light flickers.",
        "go_ahead_minor": 2000,
        "price_minor": 9500,
    }
    return Intake(**(usual | facts))


def take_in(*, by: Person, at: datetime = NOON, **facts: Any) -> Job:
    """A job as the desk opens one: whole route, promise and all."""
    return intake.take_in(workshop=by.workshop, intake=make_intake(**facts), by=by, at=at)


def make_message(*, job: Job, **facts: Any) -> Message:
    """“Ready to be collected”, due on Monday at noon."""
    usual = {
        "key": f"test:{next(_numbers)}",
        "purpose": "pickup",
        "to_e164": job.customer.phone_e164,
        "facts": {},
        "not_before": NOON,
        "created_at": NOON,
    }
    return Message.objects.create(workshop=job.workshop, job=job, **(usual | facts))
