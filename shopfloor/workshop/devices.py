"""Phones as the server hears from them: what they told, what was refused, and names for strays."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID, uuid4

from django.db import transaction
from django.db.models import Value
from django.db.models.functions import Greatest

from shopfloor.words import gettext as _
from shopfloor.workshop.models import Device, DeviceKind, Workshop, new_token, token_hash


@dataclass(frozen=True)
class Told:
    """
    What a phone says of itself when it speaks; `open` is the job on its screen, and by whom.
    `set_aside` are the numbers it shows as refused, by the name it wrote them under.
    """

    sent_at: datetime
    last_n: int = 0
    app: str = ""
    storage: str = ""
    unsent: Mapping[str, Any] | None = None
    open: tuple[UUID, UUID | None] | None = None
    set_aside: Mapping[str, Collection[int]] = field(default_factory=dict)


def heard_from(*, device: Device, told: Told, at: datetime) -> None:
    """Remember when a phone spoke, how far it has counted, how wrong its clock is, and the rest."""
    job, by = told.open or (None, None)
    Device.objects.filter(pk=device.pk).update(
        seen_at=at,
        # Of two requests that overtake each other the higher count is the true one.
        last_n=Greatest("last_n", Value(told.last_n)),
        clock_offset_ms=round((told.sent_at - at).total_seconds() * 1000),
        app=told.app,
        storage=told.storage,
        unsent=told.unsent,
        open_job=job,
        open_by=by,
        open_at=at if job else None,
    )
    # A restored server knows nothing of what it had refused, and would wait for it.
    note_refused(device=device, numbers=told.set_aside)


def name_copy(*, device: Device, at: datetime) -> tuple[Device, str]:
    """A name of its own, and a token, for the copy of a phone's profile."""
    token = new_token()
    copy = Device.objects.create(
        workshop=device.workshop,
        kind=DeviceKind.PHONE,
        name=device.name,
        person_id=device.person_id,
        former=[*device.former, str(device.pk)],
        token_hash=token_hash(token),
        created_at=at,
    )
    return copy, token


def adopt_devices(*, workshop: Workshop, ids: Iterable[str], at: datetime) -> None:
    """
    Make rows for phones that nobody knows: they were enrolled after the backup that the server
    was restored from. They may not speak, but what they wrote is taken.
    """
    Device.objects.bulk_create(
        [
            Device(
                id=UUID(pk),
                workshop=workshop,
                kind=DeviceKind.PHONE,
                name=_("A phone from before the restore"),
                created_at=at,
                revoked_at=at,
            )
            for pk in ids
        ],
        ignore_conflicts=True,
    )


def may_bring(device: Device, other: Device) -> bool:
    """
    Whether a phone may bring what was written under this name: its own, one it had before, or that
    of a phone of the shop that was signed out since.
    """
    if other.pk == device.pk:
        return True
    is_ours = other.workshop_id == device.workshop_id and other.kind == DeviceKind.PHONE
    return is_ours and (other.revoked_at is not None or str(other.pk) in device.former)


def note_refused(*, device: Device, numbers: Mapping[str, Collection[int]]) -> None:
    """
    Remember which numbers were written and are not taken, by the name they were written under:
    nobody waits for those. A name that this phone may not bring anything of is passed over.
    """
    if not numbers:
        return
    with transaction.atomic():
        for row in Device.objects.select_for_update().filter(id__in=numbers).order_by("id"):
            fresh = {*numbers[str(row.pk)]} - {*row.refused_ns}
            if fresh and may_bring(device, row):
                row.refused_ns = sorted({*row.refused_ns, *fresh})
                row.save(update_fields=["refused_ns"])


def begin_epoch(*, workshop: Workshop) -> None:
    """
    The database was restored from a backup: every phone sends again what it wrote, and reads from
    the beginning. Of two who notice at once the first one's epoch holds.
    """
    Workshop.objects.filter(pk=workshop.pk, epoch=workshop.epoch).update(epoch=uuid4())
    workshop.refresh_from_db(fields=["epoch"])
