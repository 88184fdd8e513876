"""Findings priced for the customer, and the customer's answer line by line."""

import uuid

from django.db import models

from shopfloor.jobs.models import Job


class Offer(models.Model):
    """
    One question to the customer. `open` waits; `answered` is decided; `withdrawn` and
    `replaced` (a newer version exists) can no longer be answered.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="offers")
    version = models.PositiveSmallIntegerField(default=1)
    state = models.CharField(max_length=10, default="open")
    told = models.BooleanField(default=False)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey("workshop.Person", null=True, on_delete=models.SET_NULL)
    ready_before = models.DateTimeField(null=True)
    ready_after = models.DateTimeField(null=True)
    why_ready = models.TextField(blank=True)
    holds_until = models.DateTimeField()
    answered_at = models.DateTimeField(null=True)
    channel = models.CharField(max_length=12, blank=True)
    answered_by_words = models.CharField(max_length=80, blank=True)
    shown = models.TextField(blank=True)

    class Meta:
        db_table = "offer"
        constraints = [
            models.CheckConstraint(
                condition=(models.Q(state="answered") & models.Q(answered_at__isnull=False))
                | (~models.Q(state="answered") & models.Q(answered_at__isnull=True)),
                name="offer_answered_when",
            )
        ]


class OfferLine(models.Model):
    """One finding, priced. Amounts are integer minor units; net and VAT are rounded per line."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    offer = models.ForeignKey(Offer, on_delete=models.CASCADE, related_name="lines")
    position = models.PositiveSmallIntegerField()
    finding = models.UUIDField()
    title = models.CharField(max_length=120)
    reason = models.TextField()
    photo = models.CharField(max_length=64, blank=True)
    task = models.CharField(max_length=40, blank=True)
    minutes = models.PositiveSmallIntegerField()
    labour_minor = models.PositiveIntegerField()
    parts = models.JSONField(default=list)
    net_minor = models.PositiveIntegerField()
    vat_rate_bp = models.PositiveIntegerField()
    vat_minor = models.PositiveIntegerField()
    gross_minor = models.PositiveIntegerField()
    safety = models.BooleanField(default=False)
    decision = models.CharField(max_length=3, blank=True)

    class Meta:
        db_table = "offer_line"
        ordering = ["position"]
