"""A job and a photo as a page asks for them: this workshop's, or there is no such thing."""

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse

from shopfloor.jobs.models import Job
from shopfloor.jobs.photos import photo_path
from shopfloor.jobs.queries import JobNotFound, get_job
from shopfloor.workshop.models import Workshop


def job_or_404(workshop: Workshop, job_id: UUID) -> Job:
    """One job of this workshop; another workshop's is as unknown as one that never was."""
    try:
        return get_job(workshop=workshop, job_id=job_id)
    except JobNotFound as error:
        raise Http404(str(error)) from error


def photo_response(request: HttpRequest, workshop: Workshop, name: str) -> HttpResponse:
    """
    A kept photo as an answer, `?size=small` for lists; the hash names it, so it never changes.
    Raises PhotoNotHere.

    On customers' pages the middleware replaces the caching by no-store.
    """
    small = request.GET.get("size") == "small"
    path = photo_path(workshop=workshop, name=name, small=small)
    response = HttpResponse(path.read_bytes(), content_type="image/jpeg")
    response["Cache-Control"] = "private, max-age=31536000, immutable"
    response["Content-Disposition"] = "inline"
    return response
