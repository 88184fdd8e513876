"""The workshop itself: its people, devices, instruments, hours and prices."""

import secrets
import uuid
from hashlib import sha256

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.utils.translation import gettext_lazy


def new_token() -> str:
    """A bearer token of 192 random bits."""
    return secrets.token_urlsafe(24)


def token_hash(token: str) -> str:
    """What is kept of a token: SHA-256, so that a stolen backup opens nothing."""
    return sha256(token.encode()).hexdigest()


class Workshop(models.Model):
    """One shop. `last_seq` numbers its journal without gaps; it is locked last in a transaction."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=80)
    phone = models.CharField(max_length=32, blank=True)
    email = models.EmailField(blank=True)
    address = models.CharField(max_length=200, blank=True)
    timezone = models.CharField(max_length=40, default="Europe/London")
    region = models.CharField(max_length=10, default="GB-ENG")
    currency = models.CharField(max_length=3, default="GBP")
    labour_rate_minor = models.PositiveIntegerField(default=4800)
    vat_rate_bp = models.PositiveIntegerField(default=2000)
    service_prices = models.JSONField(default=dict)
    weekly_hours = models.JSONField(default=dict)
    quiet_start = models.TimeField(default="09:00")
    quiet_end = models.TimeField(default="20:00")
    epoch = models.UUIDField(default=uuid.uuid4)
    last_seq = models.PositiveBigIntegerField(default=0)
    last_job_number = models.PositiveIntegerField(default=0)

    class Meta:
        db_table = "workshop"

    def __str__(self) -> str:
        return self.name


class Role(models.TextChoices):
    """What a person may decide; see journal/permissions.py."""

    MANAGER = "manager", gettext_lazy("Manager")
    MECHANIC = "mechanic", gettext_lazy("Mechanic")


class PersonManager(BaseUserManager["Person"]):
    """Creates people with a usable password."""

    def create_person(
        self, *, workshop: Workshop, username: str, name: str, role: str, password: str
    ) -> "Person":
        """One person of one workshop; the password is stored hashed."""
        person = self.model(workshop=workshop, username=username, name=name, role=role)
        person.set_password(password)
        person.save(using=self._db)
        return person

    def get_by_natural_key(self, username: str | None) -> "Person":
        """Find by sign-in name, whatever its capitals."""
        return self.get(username__iexact=username)


class Person(AbstractBaseUser):
    """Somebody who works in the shop and signs in."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="people")
    username = models.CharField(max_length=40, unique=True)
    name = models.CharField(max_length=60)
    role = models.CharField(max_length=10, choices=Role)
    is_active = models.BooleanField(default=True)
    wrong_passwords = models.PositiveIntegerField(default=0)
    wrong_password_at = models.DateTimeField(null=True)

    USERNAME_FIELD = "username"
    objects = PersonManager()

    class Meta:
        db_table = "person"

    def __str__(self) -> str:
        return self.name


class DeviceKind(models.TextChoices):
    """Who writes entries: a phone at the stand, or the desk (the server itself)."""

    PHONE = "phone", "Phone"
    DESK = "desk", "Desk"


class Device(models.Model):
    """
    Something that numbers its own entries 1, 2, 3, …; the desk is one too. `refused_ns` are the
    numbers that arrived and were not taken. `former` are the ids of devices that this phone has
    been. `app`, `storage`, `unsent` and the open job are as the phone last said.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="devices")
    kind = models.CharField(max_length=5, choices=DeviceKind)
    name = models.CharField(max_length=60)
    person = models.ForeignKey(Person, null=True, on_delete=models.SET_NULL)
    token_hash = models.CharField(max_length=64, unique=True, null=True)  # noqa: DJ001  the desk has none
    last_n = models.PositiveBigIntegerField(default=0)
    refused_ns = models.JSONField(default=list)
    former = models.JSONField(default=list)
    app = models.CharField(max_length=40, blank=True)
    storage = models.CharField(max_length=20, blank=True)
    unsent = models.JSONField(null=True)
    open_job = models.UUIDField(null=True)
    open_by = models.UUIDField(null=True)
    open_at = models.DateTimeField(null=True)
    created_at = models.DateTimeField()
    seen_at = models.DateTimeField(null=True)
    clock_offset_ms = models.BigIntegerField(null=True)
    revoked_at = models.DateTimeField(null=True)
    written_off_at = models.DateTimeField(null=True)

    class Meta:
        db_table = "device"
        constraints = [
            models.UniqueConstraint(
                fields=["workshop"], condition=models.Q(kind="desk"), name="one_desk_per_workshop"
            )
        ]


class EnrolCode(models.Model):
    """
    A code on the desk's screen that makes one phone a device of the workshop. Its secret is
    derived from its id (enrolment.py); the hash is what is looked for. `attempt` names the phone's
    own try, so that one whose answer was lost on the way may ask again.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="codes")
    secret_hash = models.CharField(max_length=64, unique=True)
    name = models.CharField(max_length=60)
    replaces = models.ForeignKey(Device, null=True, on_delete=models.SET_NULL, related_name="+")
    made_by = models.ForeignKey(Person, null=True, on_delete=models.SET_NULL)
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True)
    device = models.OneToOneField(
        Device, null=True, on_delete=models.CASCADE, related_name="enrolled_by"
    )
    attempt = models.UUIDField(null=True)

    class Meta:
        db_table = "enrol_code"
        constraints = [
            models.CheckConstraint(
                condition=models.Q(used_at__isnull=True, device__isnull=True)
                | models.Q(used_at__isnull=False, device__isnull=False),
                name="enrol_code_used_by_a_device",
            )
        ]


class WrongCode(models.Model):
    """A code that was none, and from where it was tried; kept for as long as it counts."""

    tried_from = models.CharField(max_length=64)
    at = models.DateTimeField()

    class Meta:
        db_table = "wrong_code"
        indexes = [models.Index(fields=["tried_from", "at"], name="wrong_code_from")]


INSTRUMENT_KINDS = [
    ("torque", gettext_lazy("Torque wrench")),
    ("gauge", gettext_lazy("Gauge")),
    ("ruler", gettext_lazy("Ruler")),
]


class Instrument(models.Model):
    """A torque wrench, gauge or ruler, with what it can be trusted for."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="instruments")
    name = models.CharField(max_length=60)
    kind = models.CharField(max_length=10, choices=INSTRUMENT_KINDS)
    unit = models.CharField(max_length=8)
    range_min = models.FloatField(null=True)
    range_max = models.FloatField(null=True)
    class_pct = models.FloatField(null=True)
    resolution = models.FloatField(null=True)
    calibrated_on = models.DateField(null=True)
    # Earlier than the rule would have it, as its maker or the shop says.
    due_on = models.DateField(null=True)
    # Torques set with it since it was calibrated.
    cycles = models.PositiveIntegerField(default=0)
    retired_on = models.DateField(null=True)

    class Meta:
        db_table = "instrument"


class Closure(models.Model):
    """A day the shop is shut, or open at other hours than usual (`hours` given)."""

    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="closures")
    on = models.DateField()
    reason = models.CharField(max_length=80)
    hours = models.JSONField(default=list, encoder=DjangoJSONEncoder)

    class Meta:
        db_table = "closure"
        constraints = [
            models.UniqueConstraint(fields=["workshop", "on"], name="one_closure_per_day")
        ]
