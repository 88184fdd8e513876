"""What was promised to the customer, and what became of it."""

from django.db import models

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
        choices=[("open", "Open"), ("moved", "Moved"), ("kept", "Kept"), ("broken", "Broken")],
    )

    class Meta:
        db_table = "promise"
        constraints = [
            models.UniqueConstraint(
                fields=["job"], condition=models.Q(standing="open"), name="one_open_promise"
            )
        ]
