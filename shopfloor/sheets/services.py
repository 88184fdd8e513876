"""
Keeping the versions of a service sheet: one is signed when the bike is released, another whenever
the journal changes after that.
"""

import json
from collections.abc import Mapping
from datetime import datetime
from hashlib import sha256
from typing import Any

import rfc8785
from django.conf import settings
from django.db import transaction
from django.db.models import F
from django.utils import translation

from shopfloor.jobs import services as journal
from shopfloor.jobs.models import Job, StoredEntry
from shopfloor.sheets.changes import changes
from shopfloor.sheets.codes import code_of
from shopfloor.sheets.content import sheet_content
from shopfloor.sheets.keys import current_key, sign
from shopfloor.sheets.models import IssuedFile, SheetsUpTo, SheetVersion
from shopfloor.words import gettext as _
from shopfloor.words import gettext_noop
from shopfloor.workshop.models import Workshop

KIND = "service-sheet"
FORMAT = 1
# What a version says of itself, and of the shop: neither is the job's.
NOT_OF_THE_JOB = ("version", "changes", "shop")
ERASED = gettext_noop("Something was blanked on request.")


def keep_version(*, job: Job, at: datetime) -> SheetVersion | None:
    """The version that says what the journal says now, signed if need be; None before a release."""
    if job.released_at is None:
        return None
    newest = newest_version(job)
    if newest and newest.seq >= job.changed_seq:
        return newest
    with transaction.atomic():
        locked = journal.lock_job(job=job)
        newest = newest_version(locked)
        if locked.released_at is None or (newest and newest.seq >= locked.changed_seq):
            return newest
        # What was signed does not change with the language of whoever reads it.
        with translation.override(settings.LANGUAGE_CODE):
            return _keep(locked, newest, at)


def newest_version(job: Job) -> SheetVersion | None:
    """The latest that was signed."""
    return SheetVersion.objects.select_related("key").filter(job=job).order_by("-number").first()


def _keep(job: Job, newest: SheetVersion | None, at: datetime) -> SheetVersion:
    content = sheet_content(job=job)
    if newest is None:
        return _sign(job, content, None, [], at)
    if _blank_what_was_erased(job, newest):
        return _sign(job, content, newest, [_(ERASED)], at)
    before: dict[str, Any] = json.loads(newest.content)
    if _of_the_job(before) == _of_the_job(json.loads(rfc8785.dumps(content))):
        newest.seq = job.changed_seq
        newest.save(update_fields=["seq"])
        return newest
    return _sign(job, content, newest, changes(before, content), at)


def _of_the_job(content: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in content.items() if name not in NOT_OF_THE_JOB}


def _blank_what_was_erased(job: Job, newest: SheetVersion) -> bool:
    """Versions must not keep what somebody has asked to be erased from the journal."""
    entries = StoredEntry.objects.filter(job=job, kind="redacted", seq__gt=newest.seq)
    if not entries.exists():
        return False
    SheetVersion.objects.filter(job=job).update(content="", changes=[])
    return True


def _sign(
    job: Job,
    content: Mapping[str, Any],
    newest: SheetVersion | None,
    named: list[str],
    at: datetime,
) -> SheetVersion:
    number = newest.number + 1 if newest else 1
    text = rfc8785.dumps({**content, "version": number, "changes": named}).decode()
    key = current_key(workshop=job.workshop, at=at)
    statement = rfc8785.dumps(
        {
            "kind": KIND,
            "format": FORMAT,
            "workshop": job.workshop.name,
            "job": job.tag,
            "bike": job.bike.words,
            "released": _instant(job.released_at or at),
            "version": number,
            "signed": _instant(at),
            "content_sha256": sha256(text.encode()).hexdigest(),
            "before_sha256": newest.content_sha256 if newest else None,
            "key": key.public_hex,
        }
    ).decode()
    return SheetVersion.objects.create(
        job=job,
        number=number,
        seq=job.changed_seq,
        content=text,
        content_sha256=sha256(text.encode()).hexdigest(),
        statement=statement,
        code=code_of(statement),
        key=key,
        signature_hex=sign(key=key, text=statement),
        signed_at=at,
        changes=named,
    )


def _instant(at: datetime) -> str:
    return at.isoformat(timespec="seconds").replace("+00:00", "Z")


def note_issued(*, version: SheetVersion, pdf: bytes, at: datetime) -> None:
    """Remember a PDF that is handed out, so that it can be known again."""
    digest = sha256(pdf).hexdigest()
    IssuedFile.objects.get_or_create(sha256=digest, defaults={"version": version, "issued_at": at})


def keep_changed(*, at: datetime) -> int:
    """Sign for every released job whose journal has changed since the last time; how many."""
    behind = Workshop.objects.exclude(sheetsupto__seq=F("last_seq"))
    return sum(_keep_changed_of(workshop, at) for workshop in behind)


def _keep_changed_of(workshop: Workshop, at: datetime) -> int:
    up_to, _made = SheetsUpTo.objects.get_or_create(workshop=workshop)
    # After a restore the workshop counts from a lower number on.
    known = up_to.seq if up_to.seq < workshop.last_seq else 0
    changed = StoredEntry.objects.filter(
        workshop=workshop, seq__gt=known, seq__lte=workshop.last_seq
    )
    jobs = Job.objects.of(workshop).filter(id__in=changed.values("job"))
    kept = 0
    for job in jobs.exclude(released_at=None).select_related("workshop", "bike", "customer"):
        kept += keep_version(job=job, at=at) is not None
    up_to.seq = workshop.last_seq
    up_to.save(update_fields=["seq"])
    return kept
