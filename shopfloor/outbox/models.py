"""Links that were given to customers, and the messages that carry them."""

import uuid
from typing import Self

from django.db import models

from shopfloor.jobs.models import Job
from shopfloor.workshop.models import Workshop


class Link(models.Model):
    """
    The right to see one page without signing in. The token is derived from the server's key
    and this row's id, and only its hash is stored.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="links")
    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="links")
    purpose = models.CharField(max_length=6, choices=[("offer", "Offer"), ("sheet", "Sheet")])
    subject = models.UUIDField(null=True)
    token_hash = models.CharField(max_length=64, unique=True)
    created_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True)

    class Meta:
        db_table = "link"


class MessageQuerySet(models.QuerySet["Message"]):
    """The words in which tasks and pages ask for messages."""

    def of(self, workshop: Workshop) -> Self:
        """Only this workshop's messages."""
        return self.filter(workshop=workshop)


class Message(models.Model):
    """
    One notice to one customer. `key` makes a second one for the same reason impossible.
    due → writing (claimed) → to-send (a person sends it from the shop's phone) → sent;
    cancelled when it is no longer true.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="messages")
    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="messages")
    key = models.CharField(max_length=120)
    purpose = models.CharField(max_length=12)
    to_e164 = models.CharField(max_length=16)
    facts = models.JSONField()
    link = models.ForeignKey(Link, null=True, on_delete=models.SET_NULL)
    state = models.CharField(max_length=10, default="due")
    not_before = models.DateTimeField()
    created_at = models.DateTimeField()
    claimed_at = models.DateTimeField(null=True)
    body = models.TextField(blank=True)
    segments = models.PositiveSmallIntegerField(default=0)
    written_at = models.DateTimeField(null=True)
    sent_at = models.DateTimeField(null=True)
    sent_by = models.ForeignKey("workshop.Person", null=True, on_delete=models.SET_NULL)

    objects = MessageQuerySet.as_manager()

    class Meta:
        db_table = "message"
        constraints = [
            models.UniqueConstraint(fields=["workshop", "key"], name="message_once"),
            models.CheckConstraint(
                condition=models.Q(state="sent", sent_at__isnull=False)
                | (~models.Q(state="sent") & models.Q(sent_at__isnull=True)),
                name="message_sent_when",
            ),
        ]
        indexes = [models.Index(fields=["state", "not_before"], name="message_due")]
