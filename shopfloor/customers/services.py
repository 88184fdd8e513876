"""Keeping customers: one for each telephone number that can be read."""

from datetime import datetime

from shopfloor.customers.models import Customer
from shopfloor.workshop.models import Workshop


def keep_customer(
    *, workshop: Workshop, number: str, typed: str, name: str, email: str = "", at: datetime
) -> Customer:
    """
    Whoever has the number, under the name of today; one that cannot be read makes nobody known.

    number  as texts need it (E.164), or nothing
    """
    facts = {"name": name, "phone_typed": typed, "email": email, "created_at": at}
    if not number:
        return Customer.objects.create(workshop=workshop, **facts)
    found, made = Customer.objects.get_or_create(
        workshop=workshop, phone_e164=number, defaults=facts
    )
    if not made:
        found.name = name
        found.email = email or found.email
        found.save(update_fields=["name", "email"])
    return found
