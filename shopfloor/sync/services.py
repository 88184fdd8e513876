"""Taking entries from phones once each, and giving phones what they have not seen."""

import json
from collections import defaultdict
from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import Any, NamedTuple
from uuid import UUID
from zoneinfo import ZoneInfo

from shopfloor.jobs import services as journal
from shopfloor.jobs.models import Job, StoredEntry
from shopfloor.journal.entry import (
    DESK_KINDS,
    Entry,
    MalformedEntry,
    is_count,
    parse_entry,
    to_wire,
)
from shopfloor.sync.models import RefusedEntry
from shopfloor.trade.added_work import tasks
from shopfloor.trade.traits import KINDS
from shopfloor.workshop import services as workshops
from shopfloor.workshop.models import Device, DeviceKind, Workshop
from shopfloor.workshop.queries import people_of

PAGE = 500
RAW_KEPT = 200_000
HEADER_KINDS = ("opened", "promise", "route-added")


REFUSALS = {
    "unknown-job": "The workshop has no such job. Ask the desk; this entry is kept.",
    "unknown-person": "Nobody of this workshop wrote this. Choose who works, and write it again.",
    "other-device": "This was written by another phone. Send it from that phone.",
    "kind-not-allowed": "Only the desk may write this.",
    "id-reused": "Another entry has this number already. Write it again.",
}


class Refusal(NamedTuple):
    """An entry as it came, and why it is not taken."""

    raw: object
    code: str
    message: str


@dataclass(frozen=True)
class Taken:
    """What became of a batch: ids that are stored, and refusals with their reason."""

    accepted: list[str]
    refused: list[dict[str, str]]


def take_entries(*, device: Device, raw_entries: Sequence[object], at: datetime) -> Taken:
    """
    Store what can be stored. A refused entry never stops another; it is kept raw, once, with
    its reason. Sending the same batch again answers the same.
    """
    parsed, unreadable = _parse_all(raw_entries)
    writers = _writers(device)
    good, unwelcome = _sort_out(writers, device.workshop, parsed)
    for writer_id, writer in writers.items():
        own = [entry for entry in good if entry.device == writer_id]
        if own:
            journal.append_entries(workshop=device.workshop, device=writer, entries=own, at=at)
    refused = [_refuse(device, refusal, at) for refusal in (*unreadable, *unwelcome)]
    if refused:
        workshops.note_refused(device=device, ns=_numbers(device, (*unreadable, *unwelcome)))
    return Taken(accepted=[entry.id for entry in good], refused=refused)


def _parse_all(raw_entries: Sequence[object]) -> tuple[list[Entry], list[Refusal]]:
    parsed, unreadable = [], []
    for raw in raw_entries:
        try:
            parsed.append(parse_entry(raw))
        except MalformedEntry as error:
            unreadable.append(Refusal(raw, error.code, error.message))
    return parsed, unreadable


def _writers(device: Device) -> dict[str, Device]:
    """
    Whose entries a phone may bring: its own, and those of phones that were revoked since. After a
    new sign-in the same phone has a new name, and what it kept from before must not be lost.
    """
    former = device.workshop.devices.filter(kind=DeviceKind.PHONE, revoked_at__isnull=False)
    return {str(device.id): device, **{str(one.id): one for one in former}}


def _sort_out(
    writers: Container[str], workshop: Workshop, parsed: Sequence[Entry]
) -> tuple[list[Entry], list[Refusal]]:
    known_jobs = Job.objects.of(workshop).filter(id__in={entry.job for entry in parsed})
    jobs = {str(job) for job in known_jobs.values_list("id", flat=True)}
    rows = StoredEntry.objects.filter(id__in=[entry.id for entry in parsed])
    held = {str(row.id): row.wire for row in rows}
    people = {str(person) for person in workshop.people.values_list("id", flat=True)}
    good: dict[str, Entry] = {}
    unwelcome = []
    for entry in parsed:
        wire = to_wire(entry)
        code = _problem(writers, people, entry, jobs) or (
            "id-reused" if held.get(entry.id, wire) != wire else None
        )
        if code:
            unwelcome.append(Refusal(wire, code, REFUSALS[code]))
        else:
            good[entry.id] = entry
            held[entry.id] = wire
    return list(good.values()), unwelcome


def _problem(
    writers: Container[str], people: Container[str], entry: Entry, jobs: set[str]
) -> str | None:
    if entry.job not in jobs:
        return "unknown-job"
    if entry.device not in writers:
        return "other-device"
    if entry.by not in people:
        return "unknown-person"
    return "kind-not-allowed" if entry.kind in DESK_KINDS else None


def _refuse(device: Device, refusal: Refusal, at: datetime) -> dict[str, str]:
    raw = refusal.raw
    entry_id = _storable(str(raw.get("id", "")))[:64] if isinstance(raw, dict) else ""
    facts = {
        "device": device,
        "entry_id": entry_id,
        "code": refusal.code,
        "raw": _storable(json.dumps(raw, ensure_ascii=False))[:RAW_KEPT],
    }
    # Not get_or_create: two syncs at once may leave two rows, and a third must not break on them.
    if not RefusedEntry.objects.filter(**facts).exists():
        RefusedEntry.objects.create(**facts, message=refusal.message, received_at=at)
    return {"id": entry_id, "code": refusal.code, "message": refusal.message}


def _numbers(device: Device, refusals: Iterable[Refusal]) -> set[int]:
    """The phone's own numbers among what is refused, where they can be read."""
    own = [
        raw["n"]
        for raw, _, _ in refusals
        if isinstance(raw, dict) and raw.get("device") == str(device.id) and is_count(raw.get("n"))
    ]
    return {int(n) for n in own}


def _storable(text: str) -> str:
    """Half a surrogate pair and a null character as escapes: no database takes them."""
    return text.encode("utf-8", "backslashreplace").decode().replace("\x00", "\\u0000")


@dataclass(frozen=True)
class Page:
    """Entries after a cursor, with the headers of the jobs that are new or changed in it."""

    entries: list[dict[str, Any]]
    jobs: list[dict[str, Any]]
    cursor: int
    more: bool


def entries_after(*, workshop: Workshop, cursor: int) -> Page:
    """The next page for a phone that has everything up to `cursor`."""
    rows = list(
        StoredEntry.objects.filter(workshop=workshop, seq__gt=cursor).order_by("seq")[: PAGE + 1]
    )
    page = rows[:PAGE]
    changed = {row.job_id for row in page if row.kind in HEADER_KINDS}
    return Page(
        entries=[
            {"seq": row.seq, "received_at": row.received_at, "entry": row.wire} for row in page
        ],
        jobs=_headers(workshop, changed),
        cursor=page[-1].seq if page else cursor,
        more=len(rows) > PAGE,
    )


def _headers(workshop: Workshop, ids: Iterable[UUID]) -> list[dict[str, Any]]:
    """The jobs with these ids as the bench may know them."""
    rows = Job.objects.of(workshop).filter(id__in=list(ids))
    jobs = list(rows.select_related("bike", "customer", "workshop").order_by("number"))
    visits = Job.objects.of(workshop).filter(
        bike_id__in={job.bike_id for job in jobs}, collected_at__isnull=False
    )
    earlier: dict[UUID, list[Job]] = defaultdict(list)
    for visit in visits.order_by("collected_at").defer("route"):
        earlier[visit.bike_id].append(visit)
    return [_header(job, earlier[job.bike_id]) for job in jobs]


def _header(job: Job, visits: Sequence[Job]) -> dict[str, Any]:
    return {
        "id": str(job.id),
        "number": job.tag,
        "bike": job.bike.words,
        "tag": f"/bench/jobs/{job.id}",
        "customer": job.customer.first_name,
        "service": job.service,
        "traits": job.bike.traits,
        "says": job.says,
        "go_ahead_minor": job.go_ahead_minor,
        "currency": job.workshop.currency,
        "route": job.route,
        "promised_at": job.promised_at,
        "opened_at": job.opened_at,
        "history": _history(job, visits),
        "tasks": [task["key"] for task in tasks(job.bike.traits)],
    }


def _history(job: Job, visits: Sequence[Job]) -> str:
    """One line about the bike's last visit before this one."""
    zone = ZoneInfo(job.workshop.timezone)
    said = [
        (visit.collected_at.astimezone(zone), visit.tag)
        for visit in visits
        if visit.collected_at and visit.collected_at < job.opened_at
    ]
    if not said:
        return ""
    day, tag = said[-1]
    return f"Last here {day.day} {day:%B %Y}, {tag}."


def workshop_info(workshop: Workshop) -> dict[str, Any]:
    """The shop as the bench needs it."""
    return {
        "name": workshop.name,
        "currency": workshop.currency,
        "timezone": workshop.timezone,
        "people": [{"id": str(p.id), "name": p.name, "role": p.role} for p in people_of(workshop)],
        "instruments": list(
            workshop.instruments.order_by("name").values(
                "id", "name", "kind", "unit", "class_pct", "due_on"
            )
        ),
        "tasks": _all_tasks(),
    }


@cache
def _all_tasks() -> list[dict[str, Any]]:
    """The added work that any kind of bike may need; the route decides what fits the bike."""
    by_key = {task["key"]: task for kind in KINDS for task in tasks({"kind": kind})}
    return sorted(by_key.values(), key=lambda task: str(task["title"]))
