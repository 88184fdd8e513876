"""The service sheet on the web and as a PDF, for the customer's link and for the desk."""

from collections.abc import Callable
from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
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
from shopfloor.sheets.models import SheetVersion
from shopfloor.sheets.proof import content_of, other_versions, proof_of
from shopfloor.sheets.render import file_name, sheet_pdf
from shopfloor.sheets.services import keep_version, note_issued
from shopfloor.workshop.access import DeskRequest, at_the_desk


@require_safe
def sheet(request: HttpRequest, token: str, number: int | None = None) -> HttpResponse:
    """The sheet behind a customer's link: what holds now, or an older version."""
    job = _find(token)
    if job is None:
        return _gone(request)
    own = {"photos_url": reverse("customer-sheet", args=[token]) + "photos/", "slash": "/"}
    return _page(request, job, number, own, lambda name, *more: _customers(name, token, *more))


@require_safe
def pdf(request: HttpRequest, token: str, number: int | None = None) -> HttpResponse:
    """The same sheet to keep or print."""
    job = _find(token)
    return _gone(request) if job is None else _pdf(job, number)


@require_safe
def data(request: HttpRequest, token: str, number: int) -> HttpResponse:
    """What was signed, byte for byte, for whoever wants to work out its digest."""
    job = _find(token)
    return _gone(request) if job is None else _data(job, number)


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
def desk_sheet(request: DeskRequest, job_id: UUID, number: int | None = None) -> HttpResponse:
    """What the customer sees, for the people of the workshop."""
    job = job_or_404(request.user.workshop, job_id)
    own = {"job_url": reverse("job", args=[job_id]), "photos_url": "/api/photos/", "slash": ""}
    return _page(request, job, number, own, lambda name, *more: _desks(name, job_id, *more))


@require_safe
@at_the_desk
def desk_pdf(request: DeskRequest, job_id: UUID, number: int | None = None) -> HttpResponse:
    """The sheet as a PDF, for the printer at the desk."""
    return _pdf(job_or_404(request.user.workshop, job_id), number)


@require_safe
@at_the_desk
def desk_data(request: DeskRequest, job_id: UUID, number: int) -> HttpResponse:
    """What was signed, byte for byte."""
    return _data(job_or_404(request.user.workshop, job_id), number)


def _customers(name: str, token: str, *more: int) -> str:
    return reverse(f"customer-{name}", args=[token, *more])


def _desks(name: str, job_id: UUID, *more: int) -> str:
    return reverse(f"job-{name}", args=[job_id, *more])


def _find(token: str) -> Job | None:
    try:
        link = find_link(token=token, purpose="sheet", at=timezone.now())
    except LinkGone:
        return None
    return get_job(workshop=link.workshop, job_id=link.job_id)


def _page(
    request: HttpRequest,
    job: Job,
    number: int | None,
    own: dict[str, str],
    address: Callable[..., str],
) -> HttpResponse:
    version = _version(job, number, timezone.now())
    versions = other_versions(job, lambda n: address("sheet-version", n))
    context: dict[str, Any] = {**own, "versions": versions, "shop": job.workshop}
    if version is None:
        context |= sheet_content(job=job) | {"pdf_url": address("sheet-pdf")}
        return render(request, "sheets/sheet.html", context)
    context["proof"] = proof_of(version, job.workshop.timezone)
    context["newer"] = versions[0] if versions[0]["number"] > version.number else None
    context["taken_back"] = job.released_at is None
    content = content_of(version)
    if content is None:
        return render(request, "sheets/blanked.html", context | {"job": job})
    context |= content | {
        "pdf_url": address("sheet-version-pdf", version.number),
        "data_url": address("sheet-version-data", version.number),
    }
    return render(request, "sheets/sheet.html", context)


def _version(job: Job, number: int | None, at: datetime) -> SheetVersion | None:
    """The version of that number, else the one that holds now; None for a bike not released."""
    newest = keep_version(job=job, at=at)
    if number is None or (newest and newest.number == number):
        return newest
    found = SheetVersion.objects.select_related("key").filter(job=job, number=number).first()
    if found is None:
        raise Http404
    return found


def _pdf(job: Job, number: int | None) -> HttpResponse:
    at = timezone.now()
    version = _version(job, number, at)
    content = sheet_content(job=job) if version is None else content_of(version)
    if content is None:
        raise Http404
    proof = proof_of(version, job.workshop.timezone) if version else None
    made = sheet_pdf(content=content, workshop=job.workshop, proof=proof)
    if version:
        note_issued(version=version, pdf=made, at=at)
    response = HttpResponse(made, content_type="application/pdf")
    name = file_name(content, version.number if version else None)
    response.headers["Content-Disposition"] = f'inline; filename="{name}"'
    return response


def _data(job: Job, number: int) -> HttpResponse:
    version = SheetVersion.objects.filter(job=job, number=number).first()
    if version is None or not version.content:
        raise Http404
    response = HttpResponse(version.content.encode(), content_type="application/json")
    name = f"service-sheet-{job.tag}-{number}.json"
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


def _gone(request: HttpRequest) -> HttpResponse:
    """One page for unknown, mistyped, expired and revoked links alike."""
    return render(request, "approvals/gone.html", status=404)
