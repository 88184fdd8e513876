"""The versions of a job's service sheet that were signed, and the keys that signed them."""

import uuid

from django.db import models

from shopfloor.jobs.models import Job
from shopfloor.workshop.models import Workshop


class SheetKey(models.Model):
    """
    An Ed25519 key of a workshop. The private half is derived from the server's key and this row's
    id (keys.py) and stored nowhere; the public half stays for ever, so that what it signed can be
    verified after it was replaced.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="sheet_keys")
    public_hex = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    retired_at = models.DateTimeField(null=True)

    class Meta:
        db_table = "sheet_key"
        constraints = [
            models.UniqueConstraint(
                fields=["workshop"],
                condition=models.Q(retired_at__isnull=True),
                name="one_sheet_key_at_work",
            )
        ]


class SheetVersion(models.Model):
    """
    One signed version. `content` is the canonical JSON of everything it says, `statement` the
    canonical JSON that was signed and may be shown to anybody, `seq` the entry up to which the
    journal is in it. An empty content was blanked, because somebody asked for an erasure.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="sheets")
    number = models.PositiveSmallIntegerField()
    seq = models.PositiveBigIntegerField()
    content = models.TextField(blank=True)
    content_sha256 = models.CharField(max_length=64, db_index=True)
    statement = models.TextField()
    code = models.CharField(max_length=16, unique=True)
    key = models.ForeignKey(SheetKey, on_delete=models.PROTECT, related_name="versions")
    signature_hex = models.CharField(max_length=128)
    signed_at = models.DateTimeField()
    changes = models.JSONField(default=list)

    class Meta:
        db_table = "sheet_version"
        constraints = [
            models.UniqueConstraint(fields=["job", "number"], name="sheet_version_of_job")
        ]


class IssuedFile(models.Model):
    """A PDF that was handed out for a version: what has these bytes is that sheet, unaltered."""

    version = models.ForeignKey(SheetVersion, on_delete=models.CASCADE, related_name="files")
    sha256 = models.CharField(max_length=64, unique=True)
    issued_at = models.DateTimeField()

    class Meta:
        db_table = "sheet_file"


class SheetsUpTo(models.Model):
    """Up to which entry of the workshop every released job has its sheet."""

    workshop = models.OneToOneField(Workshop, on_delete=models.CASCADE, primary_key=True)
    seq = models.PositiveBigIntegerField(default=0)

    class Meta:
        db_table = "sheets_up_to"
