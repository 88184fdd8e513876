"""
Writing to the journal. Every fact about a job enters here, once, and gets the workshop's next
number.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID

import uuid6
from django.db import connection, transaction

from shopfloor.jobs.folding import CACHED, fold_into
from shopfloor.jobs.models import Job, StoredEntry
from shopfloor.jobs.rows import Held, held_rows, insert_rows
from shopfloor.journal.entry import Entry, parse_entry
from shopfloor.workshop.models import Device, DeviceKind, Person, Workshop

ADVANCE = "UPDATE workshop SET last_seq = last_seq + %s WHERE id = %s RETURNING last_seq"


@dataclass(frozen=True)
class Compared:
    """
    Entries beside the journal: those that are `held`, by id; those that are `fresh`, each once;
    and the fresh ones whose device has given their number `n` to another entry as well.
    """

    held: dict[str, Held]
    fresh: list[Entry]
    n_taken: list[Entry] = field(default_factory=list)


def lock_jobs(*, workshop: Workshop, ids: Iterable[str]) -> set[str]:
    """Those of the jobs that are this workshop's, nobody else's until the transaction ends."""
    rows = Job.objects.of(workshop).filter(id__in=set(ids)).order_by("id").select_for_update()
    return {str(job_id) for job_id in rows.values_list("id", flat=True)}


def compare(entries: Sequence[Entry]) -> Compared:
    """Which of the entries are new? Their jobs are locked."""
    held = held_rows([entry.id for entry in entries])
    fresh: dict[str, Entry] = {}
    for entry in entries:
        if entry.id not in held:
            fresh.setdefault(entry.id, entry)
    return Compared(held=held, fresh=list(fresh.values()), n_taken=_n_taken(fresh.values()))


def _n_taken(fresh: Iterable[Entry]) -> list[Entry]:
    by_device: dict[str, list[Entry]] = defaultdict(list)
    for entry in fresh:
        by_device[entry.device].append(entry)
    return [
        entry
        for device, entries in by_device.items()
        for entry in _repeats(entries, _ns_held(device, [entry.n for entry in entries]))
    ]


def _ns_held(device: str, ns: Sequence[int]) -> set[int]:
    held = StoredEntry.objects.filter(device_id=UUID(device), n__range=(min(ns), max(ns)))
    return set(held.values_list("n", flat=True))


def _repeats(entries: Sequence[Entry], used: set[int]) -> list[Entry]:
    repeated = []
    for entry in entries:
        if entry.n in used:
            repeated.append(entry)
        used.add(entry.n)
    return repeated


def store(*, workshop: Workshop, entries: Sequence[Entry], at: datetime) -> dict[str, int]:
    """
    Number and keep fresh entries of locked jobs, and say that the jobs have changed.

    The last thing in a transaction but for what belongs to the same jobs: the workshop's counter
    is locked here. A number given early would be seen after a later one that commits first, and
    a phone reading past it would never get it.
    """
    if not entries:
        return {}
    last = _advance(workshop, len(entries))
    numbered = dict(enumerate(entries, start=last - len(entries) + 1))
    insert_rows(workshop=workshop, numbered=numbered, at=at)
    Job.objects.filter(id__in={entry.job for entry in entries}).update(changed_seq=last)
    return {entry.id: seq for seq, entry in numbered.items()}


def _advance(workshop: Workshop, count: int) -> int:
    """The counter after so many more; whoever updates a row holds its lock until the end."""
    pk = Workshop._meta.pk.get_db_prep_value(workshop.pk, connection)
    with connection.cursor() as cursor:
        cursor.execute(ADVANCE, [count, pk])
        return int(cursor.fetchone()[0])


def write_entry(
    *,
    job: Job,
    kind: str,
    body: Mapping[str, Any],
    by: Person | None,
    at: datetime,
    supersedes: Iterable[str] = (),
) -> Entry:
    """
    The desk writes one entry into a job, which is folded at once. Raises MalformedEntry if
    nobody could read it.
    """
    with transaction.atomic():
        # The job before the desk's counter: phones lock in that order too.
        locked = lock_job(job=job)
        desk = desk_of(job.workshop, at=at)
        desk.last_n += 1
        desk.save(update_fields=["last_n"])
        entry = parse_entry(
            {
                "v": 1,
                "id": str(uuid6.uuid7()),
                "job": str(job.id),
                "kind": kind,
                "device": str(desk.id),
                "n": desk.last_n,
                "by": str(by.id if by else desk.id),
                "at": at.isoformat(timespec="milliseconds").replace("+00:00", "Z"),
                "body": dict(body),
                "supersedes": list(supersedes),
            }
        )
        fold_into([locked], [entry])
        numbers = store(workshop=job.workshop, entries=[entry], at=at)
        locked.folded_seq = numbers[entry.id]
        locked.save(update_fields=CACHED)
    job.refresh_from_db()
    return entry


def lock_job(*, job: Job) -> Job:
    """
    The job as it stands now, nobody else's until the transaction ends. Whoever decides by a job's
    state locks it first, before any other row that belongs to it.
    """
    related = ("workshop", "bike", "customer")
    locked = Job.objects.select_for_update(of=("self",)).select_related(*related).get(pk=job.pk)
    if locked.folded_seq < locked.changed_seq:
        fold_into([locked])
        locked.save(update_fields=CACHED)
    return locked


def desk_of(workshop: Workshop, *, at: datetime) -> Device:
    """The device under which the server itself writes, locked for numbering."""
    desk, _ = Device.objects.select_for_update().get_or_create(
        workshop=workshop,
        kind=DeviceKind.DESK,
        defaults={"name": "The desk", "created_at": at},
    )
    return desk
