"""
What does the service sheet of a job say? Plain data, the same for the web page and the PDF.

The link may reach the wrong person: the sheet shows the bike's words and the job's number, never
the owner's name, number or address, nor the frame number.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from shopfloor.approvals.models import OfferLine
from shopfloor.jobs.models import Job
from shopfloor.jobs.queries import late_entry_ids, state_of
from shopfloor.jobs.words import service_in_words
from shopfloor.journal.progress import full_route, progress
from shopfloor.journal.state import JobState
from shopfloor.sheets import words
from shopfloor.sheets.late import late_entries
from shopfloor.sheets.models import SheetVersion
from shopfloor.sheets.next_service import next_services
from shopfloor.sheets.pictures import sheet_photos
from shopfloor.sheets.plain import in_plain_words
from shopfloor.sheets.readings import Names, measured_parts, rows, worn
from shopfloor.sheets.work import added_work, doers, done_steps, is_ticked, open_work
from shopfloor.words import gettext as _
from shopfloor.words import gettext_noop
from shopfloor.workshop.models import Instrument, Person
from shopfloor.workshop.templatetags.money import money

WHY_DECLINED = gettext_noop(
    "Left at the owner's wish after we had explained it. It matters for safety: have it done "
    "before you rely on this bike."
)
WHY_LEFT = gettext_noop(
    "Left at the owner's wish. It will wear further; ask us to look at it next time."
)


def sheet_content(*, job: Job) -> dict[str, Any]:
    """Everything the sheet shows of one job, as values that JSON can carry."""
    state = state_of(job)
    route = full_route(job.route, state)
    zone = job.workshop.timezone
    names = _names(job)
    lines = list(OfferLine.objects.filter(offer__job=job, offer__state="answered"))
    done = progress(route, state)
    readings = rows(route, state, done, names)
    watch, steps = worn(readings, done), done_steps(route, done)
    added = added_work(state, done, lines, job.workshop.currency)
    agreed = {step["key"] for step in job.route}
    rideable = (state["released"] or {}).get("mode") != "not-to-ride"
    return {
        **_heading(job, state, lines, zone),
        "measured": measured_parts(readings),
        "watch": watch,
        # What was added is told with its price.
        "work": in_plain_words(step for step in steps if step["key"] in agreed),
        "worked": doers(steps, state, names),
        "open": open_work(route, done),
        "added": [work for work in added if not work["free"]],
        "gifts": [work for work in added if work["free"]],
        "declined": _declined(lines, job.workshop.currency),
        "findings": _unasked_findings(state, lines),
        "checks": _checks(route, state, names),
        "notes": _notes(state, names),
        **sheet_photos(job, state, route, names.late),
        "late": late_entries(route, state, names),
        "cautions": words.cautions(
            job.bike.traits, bedded_in=is_ticked(state, "bed_in"), rideable=rideable
        ),
        "next": _next(job, watch) if rideable else [],
    }


def _next(job: Job, watch: Sequence[Mapping[str, Any]]) -> list[dict[str, str]]:
    """When to come again, counted from the day it was released; nothing while it is not."""
    if job.released_at is None:
        return []
    zone = ZoneInfo(job.workshop.timezone)
    return next_services(
        service=job.service,
        traits=job.bike.traits,
        watch=watch,
        released_on=job.released_at.astimezone(zone).date(),
    )


def shows_photo(*, job: Job, name: str) -> bool:
    """Whether a photo stands on this job's sheet, or on a version of it that can be read."""
    if any(photo["body"].get("sha256") == name for photo in state_of(job)["photos"]):
        return True
    return SheetVersion.objects.filter(job=job, content__contains=f'"{name}"').exists()


def _names(job: Job) -> Names:
    people = Person.objects.filter(workshop=job.workshop).values_list("id", "name")
    instruments = Instrument.objects.filter(workshop=job.workshop).values_list("id", "name")
    zone = job.workshop.timezone
    return Names(
        people={str(pk): name for pk, name in people},
        instruments={str(pk): name for pk, name in instruments},
        moment=lambda at: words.moment(datetime.fromisoformat(at), zone),
        late=frozenset(late_entry_ids(job)),
    )


def _heading(job: Job, state: JobState, lines: Iterable[OfferLine], zone: str) -> dict[str, Any]:
    shop, released = job.workshop, state["released"]
    added_minor = sum(line.gross_minor for line in lines if line.decision == "yes")
    return {
        "shop": {
            "name": shop.name,
            "phone": shop.phone,
            "email": shop.email,
            "address": shop.address,
            "timezone": zone,
        },
        "job": {
            "tag": job.tag,
            "service": service_in_words(job.service),
            "says": job.says,
            "price": money(job.price_minor, shop.currency) if job.price_minor else "",
            "total": money(job.price_minor + added_minor, shop.currency) if added_minor else "",
        },
        "bike": {"words": job.bike.words},
        "dates": {
            "in": words.day(job.opened_at, zone),
            "ready": words.moment(job.released_at, zone),
        },
        "final": released is not None,
        "not_to_ride": bool(released and released["mode"] == "not-to-ride"),
        "warning": (released or {}).get("reason") or "",
    }


def _declined(lines: Iterable[OfferLine], currency: str) -> list[dict[str, Any]]:
    """What the owner left, safety first, with why it matters."""
    left = sorted((line for line in lines if line.decision == "no"), key=lambda x: not x.safety)
    return [
        {
            "title": line.title,
            "reason": line.reason,
            "safety": line.safety,
            "why": _(WHY_DECLINED if line.safety else WHY_LEFT),
            "price": money(line.gross_minor, currency),
        }
        for line in left
    ]


def _unasked_findings(state: JobState, lines: Iterable[OfferLine]) -> list[dict[str, Any]]:
    """What was found and never decided: it is said, so that nobody takes silence for sound."""
    decided = {str(line.finding) for line in lines} | set(state["answers"])
    return [
        {
            "title": finding["body"].get("title") or "",
            "reason": finding["body"].get("reason") or "",
            "safety": bool(finding["body"].get("safety")),
        }
        for finding in state["findings"]
        if finding["id"] not in decided
    ]


def _checks(
    route: Sequence[Mapping[str, Any]], state: JobState, names: Names
) -> list[dict[str, Any]]:
    """Who looked over whose work, and what they said."""
    found = []
    for step in route:
        for head in state["places"].get(f"check:{step['key']}", []):
            found.append(
                {
                    "title": step["title"],
                    "by": names.person(head["by"]),
                    "at": names.moment(head["at"]),
                    "agreed": head["body"]["outcome"] == "agreed",
                    "text": head["body"].get("text") or "",
                }
            )
    return found


def _notes(state: JobState, names: Names) -> list[dict[str, Any]]:
    return [
        {
            "text": note["body"]["text"],
            "by": names.person(note["by"]),
            "at": names.moment(note["at"]),
            "late": note["id"] in names.late,
        }
        for note in state["notes"]
        if note["body"].get("text")
    ]
