"""A job as a page asks for it: this workshop's, or there is no such page."""

from uuid import UUID

from django.http import Http404

from shopfloor.jobs.models import Job
from shopfloor.jobs.queries import JobNotFound, get_job
from shopfloor.workshop.models import Workshop


def job_or_404(workshop: Workshop, job_id: UUID) -> Job:
    """One job of this workshop; another workshop's is as unknown as one that never was."""
    try:
        return get_job(workshop=workshop, job_id=job_id)
    except JobNotFound as error:
        raise Http404(str(error)) from error
