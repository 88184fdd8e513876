"""What a phone sent that could not be taken; kept as it came."""

from django.db import models

from shopfloor.workshop.models import Device


class RefusedEntry(models.Model):
    """One refused entry, raw, with the reason that was given to the phone."""

    device = models.ForeignKey(Device, on_delete=models.CASCADE, related_name="refused")
    entry_id = models.CharField(max_length=64, blank=True)
    code = models.CharField(max_length=30)
    message = models.TextField()
    raw = models.TextField()
    received_at = models.DateTimeField()

    class Meta:
        db_table = "refused_entry"
