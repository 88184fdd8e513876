"""
What lists and the board know of a job without reading its journal: a cache of the fold.

A phone's entries only say that a job changed; it is folded when somebody reads, or by and by.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.db.models import F
from django.utils.dateparse import parse_datetime

from shopfloor.jobs.models import Job, JobQuerySet
from shopfloor.jobs.rows import entries_by_job
from shopfloor.journal.entry import Entry
from shopfloor.journal.fold import fold
from shopfloor.journal.progress import full_route, progress
from shopfloor.journal.state import JobState
from shopfloor.words import gettext as _
from shopfloor.workshop.models import Workshop

# So many jobs are locked together; nobody waits long for one of them.
AT_ONCE = 5
CACHED = ("place", "summary", "promised_at", "released_at", "collected_at", "folded_seq")


def fold_changed(*, workshop: Workshop | None = None, wait: bool = True) -> int:
    """
    Fold every job that has changed since it was folded, of one workshop or of all; how many.

    Costs one small query when nothing has. Whoever may hold a job's lock says `wait=False`: a job
    that somebody else is busy with at this moment is left as it was a moment ago.
    """
    behind = _behind() if workshop is None else _behind().of(workshop)
    ids = list(behind.order_by("id").values_list("id", flat=True))
    return sum(
        refold(job_ids=ids[start : start + AT_ONCE], wait=wait)
        for start in range(0, len(ids), AT_ONCE)
    )


def refold(*, job_ids: Collection[UUID], wait: bool = True) -> int:
    """Fold those of these jobs that have changed since they were last folded; how many."""
    if not job_ids:
        return 0
    with transaction.atomic():
        behind = _behind().filter(id__in=job_ids).order_by("id")
        jobs = list(behind.select_for_update(skip_locked=not wait))
        fold_into(jobs)
        Job.objects.bulk_update(jobs, CACHED)
    return len(jobs)


def _behind() -> JobQuerySet:
    return Job.objects.filter(folded_seq__lt=F("changed_seq"))


def fold_anew() -> int:
    """Fold every job anew from its entries, as after the fold itself was mended; how many."""
    # When this ends early, the rest counts as changed and is folded by and by.
    Job.objects.update(folded_seq=0)
    return fold_changed()


def fold_into(jobs: Sequence[Job], fresh: Iterable[Entry] = ()) -> None:
    """Put on locked jobs what their stored entries and some fresh ones add up to; saves nothing."""
    entries = entries_by_job(str(job.pk) for job in jobs)
    for entry in fresh:
        entries[entry.job].append(entry)
    for job in jobs:
        _remember(job, fold(entries[str(job.pk)]))
        job.folded_seq = job.changed_seq


def _remember(job: Job, state: JobState) -> None:
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


def _waits(state: JobState) -> list[Mapping[str, str]]:
    """What the job waits for, on whom, and since when."""
    titles = {f["id"]: str(f["body"].get("title", "")) for f in state["findings"]}
    waits: list[Mapping[str, str]] = []
    for place, heads in state["places"].items():
        if place.startswith("offer:"):
            for head in heads:
                asked = [f for f in head["body"].get("findings", []) if f in state["asking"]]
                if asked:
                    words = ", ".join(titles.get(f, _("a finding")) for f in asked)
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
