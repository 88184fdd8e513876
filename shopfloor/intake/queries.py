"""Who is on the telephone, and which bikes have been here before?"""

from uuid import UUID

from shopfloor.customers.models import Bike, Customer
from shopfloor.outbox.phone import decide_phone
from shopfloor.workshop.models import Workshop


def find_customer(*, workshop: Workshop, phone: str) -> Customer | None:
    """The customer with this telephone number, however it is written."""
    _, number, _ = decide_phone(phone, workshop.region.split("-")[0])
    if number is None:
        return None
    return Customer.objects.filter(workshop=workshop, phone_e164=number).first()


def bikes_of(customer: Customer) -> list[Bike]:
    """The customer's bikes, the newest first."""
    return list(customer.bikes.order_by("-created_at"))


def find_bike(*, workshop: Workshop, bike_id: str) -> Bike | None:
    """One bike of this workshop, or nothing for an id that is none."""
    try:
        return Bike.objects.filter(workshop=workshop, id=UUID(bike_id)).first()
    except ValueError:
        return None
