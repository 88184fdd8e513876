"""Reading jobs: a job's entries, its folded state, its progress, and what is missing."""

from collections.abc import Iterable
from itertools import islice
from uuid import UUID

from django.db.models import Count, Max

from shopfloor.jobs.folding import fold_changed, refold
from shopfloor.jobs.models import Job, JobQuerySet, StoredEntry
from shopfloor.jobs.rows import entries_by_job
from shopfloor.journal.entry import Entry
from shopfloor.journal.fold import fold
from shopfloor.journal.progress import Progress, full_route, progress
from shopfloor.journal.release import Missing
from shopfloor.journal.state import JobState
from shopfloor.words import gettext as _
from shopfloor.workshop.models import Device, DeviceKind, Workshop


class JobNotFound(Exception):
    """There is no such job in this workshop."""


def jobs_of(workshop: Workshop, *, wait: bool = True) -> JobQuerySet:
    """
    The workshop's jobs with everything that is remembered of their fold up to date: every list,
    sum and board starts here. For `wait` see fold_changed.
    """
    fold_changed(workshop=workshop, wait=wait)
    return Job.objects.of(workshop)


def get_job(*, workshop: Workshop, job_id: UUID) -> Job:
    """One job of this workshop as it stands, with its bike and customer; raises JobNotFound."""
    rows = Job.objects.of(workshop).select_related("bike", "customer", "workshop")
    try:
        job = rows.get(id=job_id)
        if job.folded_seq < job.changed_seq:
            refold(job_ids=[job.pk])
            job = rows.get(id=job_id)
    except Job.DoesNotExist:
        raise JobNotFound(_("There is no such job in this workshop.")) from None
    return job


def entries_of(job: Job) -> list[Entry]:
    """Every entry of a job, in order of arrival."""
    return entries_by_job([str(job.id)])[str(job.id)]


def state_of(job: Job) -> JobState:
    """What the entries of a job add up to."""
    return fold(entries_of(job))


def progress_of(job: Job, state: JobState) -> Progress:
    """How far a job is along its route, approved work included."""
    return progress(full_route(job.route, state), state)


def missing_entries(job: Job) -> list[Missing]:
    """Numbers that phones which worked on this job have used and the server has not seen."""
    phones = Device.objects.filter(
        kind=DeviceKind.PHONE, entries__job=job, written_off_at=None
    ).distinct()
    found = (_gaps(phone) for phone in phones.order_by("name"))
    return [missing for missing in found if missing["ns"]]


def _gaps(phone: Device) -> Missing:
    """
    The numbers from 1 to the highest known that have not arrived; at most 50 are named. One that
    was refused did arrive: the person who wrote it was told to write it again.
    """
    held = StoredEntry.objects.filter(device=phone)
    counted = held.aggregate(count=Count("n", distinct=True), high=Max("n"))
    highest = max(phone.last_n, counted["high"] or 0)
    ns: list[int] = []
    if counted["count"] < highest:
        known = {*held.values_list("n", flat=True), *phone.refused_ns}
        ns = list(islice((n for n in range(1, highest + 1) if n not in known), 50))
    return {"device": str(phone.id), "device_name": phone.name, "ns": ns}


def late_entry_ids(job: Job) -> set[str]:
    """Bench entries that arrived after the release that stands; none while there is none."""
    releases = StoredEntry.objects.filter(job=job, kind="released", job__released_at__isnull=False)
    released = releases.order_by("-seq").first()
    if released is None:
        return set()
    late: Iterable[UUID] = StoredEntry.objects.filter(
        job=job, seq__gt=released.seq, device__kind=DeviceKind.PHONE
    ).values_list("id", flat=True)
    return {str(entry_id) for entry_id in late}
