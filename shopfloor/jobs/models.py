"""Jobs and the rows of their journal; everything else about a job is folded from those."""

import uuid
from typing import Any, Self

import orjson
from django.db import models

from shopfloor.customers.models import Bike, Customer
from shopfloor.workshop.models import Device, Workshop


class JobQuerySet(models.QuerySet["Job"]):
    """The words in which pages ask for jobs."""

    def of(self, workshop: Workshop) -> Self:
        """Only this workshop's jobs."""
        return self.filter(workshop=workshop)

    def open(self) -> Self:
        """Not yet collected and not cancelled."""
        return self.exclude(place__in=["collected", "cancelled"])

    def in_promise_order(self) -> Self:
        """The next promised first, the unpromised last."""
        return self.order_by(models.F("promised_at").asc(nulls_last=True), "number")


class Job(models.Model):
    """
    One bike, one visit. `route` is frozen when the job is opened, and `route_sha` names it.
    `place`, `summary`, `promised_at`, `released_at` and `collected_at` are a cache of the fold
    and can be rebuilt from the entries; the cache is out of date while `folded_seq` is behind
    `changed_seq`.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="jobs")
    number = models.PositiveIntegerField()
    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="jobs")
    bike = models.ForeignKey(Bike, on_delete=models.PROTECT, related_name="jobs")
    service = models.CharField(max_length=10)
    says = models.TextField(blank=True)
    go_ahead_minor = models.PositiveIntegerField(default=0)
    price_minor = models.PositiveIntegerField(default=0)
    route = models.JSONField()
    route_sha = models.CharField(max_length=64)
    catalogue = models.CharField(max_length=20)
    opened_at = models.DateTimeField()

    place = models.CharField(max_length=12, default="booked")
    summary = models.JSONField(default=dict)
    promised_at = models.DateTimeField(null=True)
    released_at = models.DateTimeField(null=True)
    collected_at = models.DateTimeField(null=True)
    changed_seq = models.PositiveBigIntegerField(default=0)
    folded_seq = models.PositiveBigIntegerField(default=0)

    objects = JobQuerySet.as_manager()

    class Meta:
        db_table = "job"
        constraints = [
            models.UniqueConstraint(fields=["workshop", "number"], name="job_number_in_workshop"),
            models.CheckConstraint(condition=~models.Q(route_sha=""), name="job_names_its_route"),
        ]
        indexes = [
            models.Index(fields=["workshop", "place", "promised_at"], name="job_board"),
            models.Index(fields=["workshop", "route_sha"], name="job_by_route"),
            models.Index(
                fields=["workshop"],
                condition=models.Q(folded_seq__lt=models.F("changed_seq")),
                name="job_to_fold",
            ),
        ]

    @property
    def tag(self) -> str:
        """The number as it stands on the tag."""
        return f"J-{self.number:04d}"


class WireField(models.Field):  # type: ignore[type-arg]  # it says so itself
    """
    An entry, kept as the text that travels: a page of thousands is given out as it is, and no
    database need read what it never asks about.
    """

    _pyi_private_set_type: dict[str, Any]
    _pyi_private_get_type: dict[str, Any]

    def get_internal_type(self) -> str:
        return "TextField"

    def from_db_value(self, value: str, _expression: object, _connection: object) -> dict[str, Any]:
        found: dict[str, Any] = orjson.loads(value)
        return found

    def get_prep_value(self, value: Any) -> str:
        return orjson.dumps(value).decode()


class StoredEntry(models.Model):
    """
    One immutable entry, as the device wrote it, with the workshop's number for it.

    Rows come by the thousand. So each index serves two ends, and the database itself watches over
    the job alone: whoever stores rows has locked that, its workshop's counter too, and no device
    is ever deleted.
    """

    id = models.UUIDField(primary_key=True)
    workshop = models.ForeignKey(
        Workshop, models.CASCADE, related_name="entries", db_index=False, db_constraint=False
    )
    job = models.ForeignKey(Job, models.CASCADE, related_name="entries", db_index=False)
    device = models.ForeignKey(
        Device, models.PROTECT, related_name="entries", db_index=False, db_constraint=False
    )
    n = models.PositiveBigIntegerField()
    kind = models.CharField(max_length=40)
    wire = WireField()
    seq = models.PositiveBigIntegerField()
    received_at = models.DateTimeField()

    class Meta:
        db_table = "entry"
        constraints = [
            models.UniqueConstraint(fields=["workshop", "seq"], name="entry_seq_in_workshop")
        ]
        indexes = [
            models.Index(fields=["device", "n"], name="entry_device_n"),
            models.Index(fields=["job", "seq"], name="entry_of_job"),
        ]


class Photo(models.Model):
    """A photo by the hash of what the phone sent; `file` is our re-encoded copy of it."""

    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="photos")
    sha256 = models.CharField(max_length=64)
    file = models.CharField(max_length=120)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    stored_at = models.DateTimeField()

    class Meta:
        db_table = "photo"
        constraints = [
            models.UniqueConstraint(fields=["workshop", "sha256"], name="photo_in_workshop")
        ]
