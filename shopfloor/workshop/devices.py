"""Phones as the server hears from them: what they told, what was refused, and names for strays."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
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
    """What a phone says of itself when it speaks; `open` is the job on its screen, and by whom."""

    sent_at: datetime
    last_n: int = 0
    app: str = ""
    storage: str = ""
    unsent: Mapping[str, Any] | None = None
    open: tuple[UUID, UUID | None] | None = None


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


def note_refused(*, device: Device, ns: Iterable[int]) -> None:
    """Remember which numbers of a phone arrived but were not taken: nobody waits for those."""
    with transaction.atomic():
        row = Device.objects.select_for_update().get(pk=device.pk)
        row.refused_ns = sorted({*row.refused_ns, *ns})
        row.save(update_fields=["refused_ns"])


def begin_epoch(*, workshop: Workshop) -> None:
    """
    The database was restored from a backup: every phone sends again what it wrote, and reads from
    the beginning. Of two who notice at once the first one's epoch holds.
    """
    Workshop.objects.filter(pk=workshop.pk, epoch=workshop.epoch).update(epoch=uuid4())
    workshop.refresh_from_db(fields=["epoch"])
