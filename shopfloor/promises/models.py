"""What was promised to the customer, and what became of it."""

from django.db import models
from django.utils.translation import gettext_lazy

from shopfloor.jobs.models import Job


class Promise(models.Model):
    """A day and time told to a customer; moved promises stay as history."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="promises")
    ready_at = models.DateTimeField()
    why = models.TextField()
    made_at = models.DateTimeField()
    made_by = models.ForeignKey("workshop.Person", null=True, on_delete=models.SET_NULL)
    standing = models.CharField(
        max_length=7,
        default="open",
        choices=[
            ("open", gettext_lazy("Open")),
            ("moved", gettext_lazy("Moved")),
            ("kept", gettext_lazy("Kept")),
            ("broken", gettext_lazy("Broken")),
        ],
    )

    class Meta:
        db_table = "promise"
        constraints = [
            models.UniqueConstraint(
                fields=["job"], condition=models.Q(standing="open"), name="one_open_promise"
            )
        ]
