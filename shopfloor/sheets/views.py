"""The service sheet on the web and as a PDF, for the customer's link and for the desk."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from shopfloor.jobs.models import Job
from shopfloor.jobs.photos import PhotoNotHere
from shopfloor.jobs.queries import get_job
from shopfloor.jobs.shortcuts import job_or_404, photo_response
from shopfloor.outbox.services import LinkGone, find_link
from shopfloor.sheets.content import sheet_content, shows_photo
from shopfloor.sheets.render import file_name, sheet_pdf
from shopfloor.workshop.access import DeskRequest, at_the_desk


@require_safe
def sheet(request: HttpRequest, token: str) -> HttpResponse:
    """The sheet behind a customer's link."""
    job = _find(token)
    if job is None:
        return _gone(request)
    addresses = {
        "pdf_url": reverse("customer-sheet-pdf", args=[token]),
        "photos_url": reverse("customer-sheet", args=[token]) + "photos/",
        "slash": "/",
    }
    return render(request, "sheets/sheet.html", sheet_content(job=job) | addresses)


@require_safe
def pdf(request: HttpRequest, token: str) -> HttpResponse:
    """The same sheet to keep or print."""
    job = _find(token)
    return _gone(request) if job is None else _pdf(job)


@require_safe
def photo(request: HttpRequest, token: str, name: str) -> HttpResponse:
    """A photo that stands on this sheet, and no other."""
    job = _find(token)
    if job is None or not shows_photo(job=job, name=name):
        return _gone(request)
    try:
        return photo_response(request, job.workshop, name)
    except PhotoNotHere:
        return _gone(request)


@require_safe
@at_the_desk
def desk_sheet(request: DeskRequest, job_id: UUID) -> HttpResponse:
    """What the customer sees, for the people of the workshop."""
    job = job_or_404(request.user.workshop, job_id)
    addresses = {
        "pdf_url": reverse("job-sheet-pdf", args=[job_id]),
        "job_url": reverse("job", args=[job_id]),
        "photos_url": "/api/photos/",
        "slash": "",
    }
    return render(request, "sheets/sheet.html", sheet_content(job=job) | addresses)


@require_safe
@at_the_desk
def desk_pdf(request: DeskRequest, job_id: UUID) -> HttpResponse:
    """The sheet as a PDF, for the printer at the desk."""
    return _pdf(job_or_404(request.user.workshop, job_id))


def _find(token: str) -> Job | None:
    try:
        link = find_link(token=token, purpose="sheet", at=timezone.now())
    except LinkGone:
        return None
    return get_job(workshop=link.workshop, job_id=link.job_id)


def _pdf(job: Job) -> HttpResponse:
    content = sheet_content(job=job)
    response = HttpResponse(
        sheet_pdf(content=content, workshop=job.workshop), content_type="application/pdf"
    )
    response.headers["Content-Disposition"] = f'inline; filename="{file_name(content)}"'
    return response


def _gone(request: HttpRequest) -> HttpResponse:
    """One page for unknown, mistyped, expired and revoked links alike."""
    return render(request, "approvals/gone.html", status=404)
