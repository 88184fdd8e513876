"""Who owns the bike, and the bike, told by its traits."""

import uuid

from django.db import models

from shopfloor.workshop.models import Workshop


class Customer(models.Model):
    """
    Found by telephone number; `phone_typed` is what the person wrote, and what is shown. A number
    that could not be read has no `phone_e164`: the desk is asked to put it right.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="customers")
    name = models.CharField(max_length=80)
    phone_e164 = models.CharField(max_length=16, blank=True)
    phone_typed = models.CharField(max_length=80)
    email = models.EmailField(blank=True)
    created_at = models.DateTimeField()

    class Meta:
        db_table = "customer"
        constraints = [
            models.UniqueConstraint(
                fields=["workshop", "phone_e164"],
                condition=~models.Q(phone_e164=""),
                name="one_customer_per_number",
            )
        ]

    @property
    def first_name(self) -> str:
        """What the bench may know of the person."""
        return self.name.split()[0] if self.name.strip() else ""


class Bike(models.Model):
    """`traits` decide the route; `words` are how the shop tells this bike from the others."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="bikes")
    customer = models.ForeignKey(Customer, on_delete=models.CASCADE, related_name="bikes")
    words = models.CharField(max_length=120)
    frame_number = models.CharField(max_length=40, blank=True)
    traits = models.JSONField()
    created_at = models.DateTimeField()

    class Meta:
        db_table = "bike"
