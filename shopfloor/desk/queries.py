"""
One job as its page shows it: where it stands, what was found, asked, measured and written.

Reads rows and the fold; decides nothing.
"""

from typing import Any

from django.db.models import QuerySet
from django.urls import reverse
from django.utils.dateparse import parse_datetime

from shopfloor.approvals.models import Offer
from shopfloor.approvals.services import go_ahead_left, total_minor
from shopfloor.desk import words
from shopfloor.desk.folded import Folded
from shopfloor.desk.words import Names
from shopfloor.jobs.models import Job, StoredEntry
from shopfloor.jobs.queries import late_entry_ids
from shopfloor.jobs.words import said, stage_in_words
from shopfloor.outbox.models import Link
from shopfloor.outbox.services import token_of
from shopfloor.words import gettext as _
from shopfloor.workshop.models import DeviceKind

Row = dict[str, Any]


def stages(folded: Folded) -> list[Row]:
    """How far each stage is, in working order; stages without steps are left out."""
    done = set(folded.progress["done"])
    found: dict[str, Row] = {}
    for step in folded.route:
        row = found.setdefault(
            step["stage"],
            {
                "title": stage_in_words(step["stage"]),
                "done": 0,
                "total": 0,
                "minutes_left": 0,
                "is_next": step["stage"] == folded.progress["stage"],
            },
        )
        row["total"] += 1
        row["done"] += step["key"] in done
        row["minutes_left"] += 0 if step["key"] in done else step["minutes"]["typical"]
    return list(found.values())


def waits(job: Job) -> list[Row]:
    """What the job waits for, on whom, and since when."""
    return [
        wait | {"since": parse_datetime(wait["since"]) if wait.get("since") else None}
        for wait in job.summary.get("waits", [])
    ]


def conflicts(folded: Folded) -> list[Row]:
    """Places with two values: each value, who wrote it, and when."""
    return [
        {"what": _place_in_words(place, folded), "heads": _heads(folded, place)}
        for place in folded.state["conflicts"]
    ]


def _place_in_words(place: str, folded: Folded) -> str:
    sort, _colon, rest = place.partition(":")
    if sort in ("tick", "check"):
        return folded.names.step(rest)
    if sort == "ask":
        step, item, phase = rest.split(":")
        return f"{folded.names.ask({'step': step, 'item': item})}, {said(phase)}"
    return {"offer": _("What the customer was asked"), "answer": _("The customer's answer")}.get(
        sort, sort.capitalize()
    )


def _heads(folded: Folded, place: str) -> list[Row]:
    return [
        {
            "by": folded.names.person(head["by"]),
            "at": parse_datetime(head["at"]),
            "says": words.sentence(head["kind"], head["body"], folded.names),
        }
        for head in folded.state["places"].get(place, [])
    ]


def offers(job: Job) -> list[Row]:
    """All offers of a job, the newest first, with the link the customer has."""
    rows = Offer.objects.filter(job=job).prefetch_related("lines").order_by("-made_at")
    links = {
        link.subject: reverse("customer-offer", args=[token_of(link)])
        for link in Link.objects.filter(job=job, purpose="offer", revoked_at=None)
    }
    for row in rows:
        row.job = job
    return [
        {
            "offer": row,
            "lines": list(row.lines.all()),
            "total_minor": total_minor(row),
            "link": links.get(row.id),
            "channel": words.channel(row.channel),
        }
        for row in rows
    ]


def parts_awaited(folded: Folded) -> list[Row]:
    """Agreed findings whose parts are not here, with the names of those parts."""
    by_id = {row["id"]: row["body"] for row in folded.state["findings"]}
    return [
        {
            "finding": finding,
            "title": folded.names.finding(finding),
            "parts": [p["name"] for p in by_id[finding]["parts"] if p.get("in_stock") is False],
        }
        for finding in folded.state["parts"]
    ]


def journal(folded: Folded) -> list[Row]:
    """Every entry in order of arrival, in words; what came after the release is marked."""
    late = late_entry_ids(folded.job)
    rows = list(_entries(folded.job))
    redacted = {str(row.wire["body"].get("entry")) for row in rows if row.kind == "redacted"}
    return [_journal_row(row, folded.names, late, redacted) for row in rows]


def _entries(job: Job) -> QuerySet[StoredEntry]:
    return StoredEntry.objects.filter(job=job).select_related("device").order_by("seq")


def _journal_row(row: StoredEntry, names: Names, late: set[str], redacted: set[str]) -> Row:
    wire = row.wire
    body = {"redacted": True} if str(row.id) in redacted else wire["body"]
    return {
        "seq": row.seq,
        "by": names.person(wire["by"]),
        "device": row.device.name if row.device.kind == DeviceKind.PHONE else "",
        "at": parse_datetime(wire["at"]),
        "received_at": row.received_at,
        "says": words.sentence(row.kind, body, names),
        "is_late": str(row.id) in late,
    }


def go_ahead(job: Job) -> Row | None:
    """The limit agreed at intake and what is left of it."""
    if not job.go_ahead_minor:
        return None
    left = go_ahead_left(job)
    return {
        "limit_minor": job.go_ahead_minor,
        "left_minor": left,
        "spent_minor": job.go_ahead_minor - left,
    }
