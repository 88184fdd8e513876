"""One exchange with a phone: what it sends is taken, and it is given what it has not seen."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache
from hashlib import sha256
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import orjson

from shopfloor.jobs.folding import refold
from shopfloor.jobs.models import Job
from shopfloor.jobs.rows import rows_between
from shopfloor.sync.taking import take_entries
from shopfloor.trade.added_work import all_tasks, tasks
from shopfloor.trade.tables import CATALOGUE
from shopfloor.words import day_and_month
from shopfloor.words import gettext as _
from shopfloor.workshop.devices import Told, begin_epoch
from shopfloor.workshop.instruments import due_on, is_worn_out
from shopfloor.workshop.models import Device, DeviceKind, Instrument, Workshop
from shopfloor.workshop.queries import people_of

PAGE = 1000
HEADER_KINDS = ("opened", "promise", "route-added")
# More than that is left to whoever reads next, or to the worker.
FOLDED_AT_ONCE = 5
HEARD_WITHIN = timedelta(minutes=15)


def exchange(*, device: Device, asked: Mapping[str, Any], at: datetime) -> dict[str, Any]:
    """Take what a phone sends, then answer with what it has not seen. Safe to repeat."""
    workshop = device.workshop
    if asked["epoch"] == workshop.epoch and asked["cursor"] > workshop.last_seq:
        # It knows numbers that were never given: a restore of which nobody told the server.
        begin_epoch(workshop=workshop)
    taken = take_entries(device=device, raw_entries=asked["entries"], at=at, told=_told(asked))
    if not asked["more"] and len(taken.jobs) <= FOLDED_AT_ONCE:
        refold(job_ids=taken.jobs)
    same_epoch = asked["epoch"] in (None, workshop.epoch)
    page = page_after(
        workshop=workshop,
        cursor=asked["cursor"] if same_epoch else 0,
        taken=taken.numbers.values(),
    )
    return {
        "epoch": str(workshop.epoch),
        "device": {"id": str(taken.copy[0].pk), "token": taken.copy[1]} if taken.copy else None,
        "taken": runs(taken.numbers),
        "refused": taken.refused,
        "entries": page.entries,
        "jobs": page.jobs,
        **_news_of_workshop(workshop, asked),
        "others": others(device=device, at=at),
        "cursor": page.cursor,
        "more": page.more,
        "server_at": at,
    }


def _told(asked: Mapping[str, Any]) -> Told:
    unsent, shown = asked["unsent"], asked["open"]
    if unsent and unsent["oldest_at"]:
        unsent = {**unsent, "oldest_at": unsent["oldest_at"].isoformat()}
    return Told(
        sent_at=asked["sent_at"],
        last_n=asked["last_n"],
        app=asked["app"],
        storage=asked["storage"],
        unsent=unsent,
        open=(shown["job"], shown["by"]) if shown else None,
        set_aside={str(each["device"]): each["ns"] for each in asked["set_aside"]},
    )


def runs(numbers: Mapping[int, int]) -> list[dict[str, int]]:
    """Numbers by position as runs in which both count up together."""
    found: list[dict[str, int]] = []
    for at, seq in sorted(numbers.items()):
        last = found[-1] if found else None
        if last and (at, seq) == (last["at"] + last["count"], last["seq"] + last["count"]):
            last["count"] += 1
        else:
            found.append({"at": at, "count": 1, "seq": seq})
    return found


@dataclass(frozen=True)
class Page:
    """
    Entries after a cursor, as JSON that is ready, with the headers of the jobs that are new or
    changed in it.
    """

    entries: list[dict[str, Any]]
    jobs: list[dict[str, Any]]
    cursor: int
    more: bool


def page_after(*, workshop: Workshop, cursor: int, taken: Collection[int] = ()) -> Page:
    """
    The next page for a phone that has everything up to `cursor` and the numbers in `taken`, out
    of what there was when the workshop's row was read, and what was taken since.

    Numbers have no gaps, so what is missing on the phone is told by counting.
    """
    last = max((workshop.last_seq, *taken))
    has = {number for number in taken if number > cursor}
    upto = _reach(cursor, last, has)
    wanted = [number for number in range(cursor + 1, upto + 1) if number not in has]
    rows = rows_between(workshop=workshop, first=wanted[0], last=wanted[-1]) if wanted else ()
    page = [row for row in rows if row.seq not in has]
    return Page(
        entries=[{"seq": row.seq, "entry": orjson.Fragment(row.text)} for row in page],
        jobs=_headers(workshop, {row.job_id for row in page if row.kind in HEADER_KINDS}),
        cursor=max(upto, cursor),
        more=upto < last,
    )


def _reach(cursor: int, last: int, has: Collection[int]) -> int:
    """How far a page goes that carries at most PAGE entries beside those the phone has."""
    upto = cursor + PAGE
    for number in sorted(has):
        if number > upto:
            break
        upto += 1
    return min(upto, last)


def others(*, device: Device, at: datetime) -> list[dict[str, Any]]:
    """What other phones of the shop have on their screens, as last heard."""
    phones = Device.objects.filter(
        workshop_id=device.workshop_id,
        kind=DeviceKind.PHONE,
        revoked_at=None,
        open_at__gt=at - HEARD_WITHIN,
    ).exclude(pk=device.pk)
    shown = phones.order_by("-open_at").values_list("open_job", "open_by", "name", "open_at")
    return [
        {"job": job, "by": by, "device": name, "at": open_at} for job, by, name, open_at in shown
    ]


def _news_of_workshop(workshop: Workshop, asked: Mapping[str, Any]) -> dict[str, Any]:
    """The workshop only where the phone does not know it like that; not while more comes in."""
    if asked["more"]:
        return {"workshop": None, "workshop_digest": asked["workshop_digest"]}
    info = workshop_info(workshop)
    digest = sha256(orjson.dumps(info)).hexdigest()[:16]
    is_known = digest == asked["workshop_digest"]
    return {"workshop": None if is_known else info, "workshop_digest": digest}


def _headers(workshop: Workshop, ids: Collection[UUID]) -> list[dict[str, Any]]:
    """The jobs with these ids as the bench may know them."""
    if not ids:
        return []
    rows = Job.objects.of(workshop).filter(id__in=ids).defer("route")
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
        "route": job.route_sha,
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
    return _("Last here {day} {year}, {tag}.").format(
        day=day_and_month(day), year=day.year, tag=tag
    )


def workshop_info(workshop: Workshop) -> dict[str, Any]:
    """The shop as the bench needs it."""
    return {
        "name": workshop.name,
        "currency": workshop.currency,
        "timezone": workshop.timezone,
        "people": [{"id": str(p.id), "name": p.name, "role": p.role} for p in people_of(workshop)],
        "instruments": [
            _instrument_info(tool)
            for tool in workshop.instruments.filter(retired_on=None).order_by("name")
        ],
        "tasks": _all_tasks(),
        "hours": workshop.weekly_hours,
        "catalogue": CATALOGUE,
    }


def _instrument_info(tool: Instrument) -> dict[str, Any]:
    """
    What a phone has to know before it lets a value be accepted. How often a wrench was used stays
    here: it would be new with every reading.
    """
    due = due_on(tool)
    return {
        "id": str(tool.id),
        "name": tool.name,
        "kind": tool.kind,
        "unit": tool.unit,
        "range_min": tool.range_min,
        "range_max": tool.range_max,
        "class_pct": tool.class_pct,
        "resolution": tool.resolution,
        "due_on": due.isoformat() if due else None,
        "worn_out": is_worn_out(tool),
    }


@cache
def _all_tasks() -> list[dict[str, Any]]:
    """The added work that any bike may need; the header of a job names what fits its bike."""
    return sorted(all_tasks(), key=lambda task: str(task["title"]))
