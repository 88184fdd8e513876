"""A customer's telephone number that could not be read, put right at the desk."""

from django.db import transaction

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
    with transaction.atomic():
        known = Customer.objects.filter(workshop=workshop, phone_e164=number).exclude(
            pk=customer.pk
        )
        same = known.select_for_update().first()
        if same:
            Bike.objects.filter(customer=customer).update(customer=same)
            Job.objects.filter(customer=customer).update(customer=same)
            customer.delete()
        else:
            customer.phone_e164, customer.phone_typed = number, phone.strip()
            customer.save(update_fields=["phone_e164", "phone_typed"])
        outbox.address_messages(jobs=Job.objects.filter(customer=same or customer), number=number)
    return sentence
