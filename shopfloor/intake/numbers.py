"""A customer's telephone number that could not be read, put right at the desk."""

from django.db import IntegrityError, transaction

from shopfloor.customers.models import Bike, Customer
from shopfloor.intake.services import NotClear
from shopfloor.jobs.models import Job
from shopfloor.outbox import services as outbox
from shopfloor.outbox.phone import decide_phone


def put_number_right(*, customer: Customer, phone: str) -> str:
    """
    Give a customer a number that texts can go to, and whatever waits to be sent as well. If
    somebody has that number already, it is the same person: bikes and jobs go over to them.

    Answers with what is to be said about the number. Raises NotClear.
    """
    workshop = customer.workshop
    _decision, number, sentence = decide_phone(phone, workshop.region.split("-")[0])
    if not number:
        raise NotClear({"phone": sentence})
    try:
        _give(customer, number=number, typed=phone.strip())
    except IntegrityError:
        # Somebody else was given it at the same moment: now they are known by it.
        _give(customer, number=number, typed=phone.strip())
    return sentence


@transaction.atomic
def _give(customer: Customer, *, number: str, typed: str) -> None:
    known = Customer.objects.filter(workshop=customer.workshop, phone_e164=number)
    same = known.exclude(pk=customer.pk).select_for_update().first()
    if same:
        Bike.objects.filter(customer=customer).update(customer=same)
        Job.objects.filter(customer=customer).update(customer=same)
        customer.delete()
    else:
        customer.phone_e164, customer.phone_typed = number, typed
        customer.save(update_fields=["phone_e164", "phone_typed"])
    outbox.address_messages(jobs=Job.objects.filter(customer=same or customer), number=number)
