"""
Writing to the journal. Every fact about a job enters here, once, and gets the workshop's next
number.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

import uuid6
from django.db import transaction
from django.utils.dateparse import parse_datetime

from shopfloor.jobs.models import Job, StoredEntry
from shopfloor.jobs.queries import entries_by_job, entries_of
from shopfloor.journal.entry import Entry, parse_entry, to_wire
from shopfloor.journal.fold import fold
from shopfloor.journal.progress import full_route, progress
from shopfloor.journal.state import JobState
from shopfloor.workshop.models import Device, DeviceKind, Person, Workshop


def append_entries(
    *, workshop: Workshop, device: Device, entries: Sequence[Entry], at: datetime
) -> list[StoredEntry]:
    """
    Store entries that are not yet known and refresh the jobs they belong to. The caller has
    checked that each job is this workshop's.

    The workshop's counter is locked last: a number given early would be seen after a later one
    that commits first, and a phone reading past it would never get it.
    """
    with transaction.atomic():
        jobs = _lock_jobs(workshop, {entry.job for entry in entries})
        fresh = _unknown(entries)
        if not fresh:
            return []
        changed = _refold(jobs, fresh)
        rows = _number_and_store(workshop, device, fresh, at)
        last_seq = {row.job_id: row.seq for row in rows}
        for job in changed:
            job.changed_seq = last_seq[job.pk]
        Job.objects.bulk_update(changed, CACHED)
    return rows


def write_entry(
    *,
    job: Job,
    kind: str,
    body: Mapping[str, Any],
    by: Person | None,
    at: datetime,
    supersedes: Iterable[str] = (),
) -> Entry:
    """The desk writes one entry into a job. Raises MalformedEntry if nobody could read it."""
    with transaction.atomic():
        # The job before the desk's counter: phones lock in that order too.
        lock_job(job=job)
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
        append_entries(workshop=job.workshop, device=desk, entries=[entry], at=at)
    job.refresh_from_db()
    return entry


def lock_job(*, job: Job) -> Job:
    """
    The job as it stands now, nobody else's until the transaction ends. Whoever decides by a job's
    state locks it first, before any other row that belongs to it.
    """
    related = ("workshop", "bike", "customer")
    return Job.objects.select_for_update(of=("self",)).select_related(*related).get(pk=job.pk)


def desk_of(workshop: Workshop, *, at: datetime) -> Device:
    """The device under which the server itself writes, locked for numbering."""
    desk, _ = Device.objects.select_for_update().get_or_create(
        workshop=workshop,
        kind=DeviceKind.DESK,
        defaults={"name": "The desk", "created_at": at},
    )
    return desk


def rebuild(*, job: Job) -> None:
    """Fold a job anew from its entries, for instance after the fold itself was mended."""
    with transaction.atomic():
        locked = Job.objects.select_for_update().get(pk=job.pk)
        _remember(locked, fold(entries_of(locked)))
        locked.save(update_fields=CACHED)


CACHED = ["place", "summary", "promised_at", "released_at", "collected_at", "changed_seq"]


def _lock_jobs(workshop: Workshop, ids: set[str]) -> dict[str, Job]:
    rows = Job.objects.of(workshop).filter(id__in=ids).order_by("id").select_for_update()
    return {str(job.id): job for job in rows}


def _unknown(entries: Sequence[Entry]) -> list[Entry]:
    known = set(
        StoredEntry.objects.filter(id__in=[e.id for e in entries]).values_list("id", flat=True)
    )
    fresh = {entry.id: entry for entry in entries if UUID(entry.id) not in known}
    return list(fresh.values())


def _refold(jobs: Mapping[str, Job], fresh: Sequence[Entry]) -> list[Job]:
    """Fold the jobs that get something new; one that only hears old news again is left alone."""
    touched = {entry.job for entry in fresh}
    all_entries = entries_by_job(touched)
    for entry in fresh:
        all_entries[entry.job].append(entry)
    for job_id in touched:
        _remember(jobs[job_id], fold(all_entries[job_id]))
    return [jobs[job_id] for job_id in touched]


def _number_and_store(
    workshop: Workshop, device: Device, fresh: Sequence[Entry], at: datetime
) -> list[StoredEntry]:
    locked = Workshop.objects.select_for_update().only("last_seq").get(pk=workshop.pk)
    rows = [
        StoredEntry(
            id=UUID(entry.id),
            workshop=workshop,
            job_id=UUID(entry.job),
            device=device,
            n=entry.n,
            kind=entry.kind,
            wire=to_wire(entry),
            seq=locked.last_seq + place,
            received_at=at,
        )
        for place, entry in enumerate(fresh, start=1)
    ]
    StoredEntry.objects.bulk_create(rows)
    locked.last_seq += len(rows)
    locked.save(update_fields=["last_seq"])
    return rows


def _remember(job: Job, state: JobState) -> None:
    """Write the fold's outcome on the job's row, for lists and for the board."""
    done = progress(full_route(job.route, state), state)
    job.place = state["place"]
    job.promised_at = parse_datetime(state["ready_at"]) if state["ready_at"] else None
    job.released_at = _when(state, "released")
    job.collected_at = _when(state, "collected")
    job.summary = {
        "done": done["steps_done"],
        "total": done["steps_total"],
        "minutes_left": done["minutes_left"],
        "minutes_total": done["minutes_total"],
        "stage": done["stage"],
        "next_step": done["next_step"],
        "conflicts": len(state["conflicts"]),
        "at_work": sorted({hand["by"] for hand in state["hands"]}),
        "waits": _waits(state),
        "not_to_ride": bool(state["released"] and state["released"].get("mode") == "not-to-ride"),
    }


def _when(state: JobState, place: str) -> datetime | None:
    heads = state["places"].get(place, [])
    return parse_datetime(min(head["at"] for head in heads)) if heads else None


def _waits(state: JobState) -> list[dict[str, str]]:
    """What the job waits for, on whom, and since when."""
    titles = {f["id"]: str(f["body"].get("title", "")) for f in state["findings"]}
    waits = []
    for place, heads in state["places"].items():
        if place.startswith("offer:"):
            for head in heads:
                asked = [f for f in head["body"].get("findings", []) if f in state["asking"]]
                if asked:
                    words = ", ".join(titles.get(f, "a finding") for f in asked)
                    waits.append({"on": "customer", "for": words, "since": head["at"]})
    for finding in state["parts"]:
        since = _answered_at(state, finding)
        waits.append({"on": "supplier", "for": titles.get(finding, "parts"), "since": since})
    return waits


def _answered_at(state: JobState, finding: str) -> str:
    times = [
        head["at"]
        for place, heads in state["places"].items()
        if place.startswith("answer:")
        for head in heads
        if any(line.get("finding") == finding for line in head["body"].get("lines", []))
    ]
    return max(times, default="")
