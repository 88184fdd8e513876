"""Letting a bike go, from the desk: release, take back, collect, cancel."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from shopfloor.handover import services
from shopfloor.jobs.shortcuts import job_or_404
from shopfloor.journal.permissions import NotAllowed
from shopfloor.words import gettext as _
from shopfloor.workshop.access import DeskRequest, at_the_desk

MODES = ("safe", "not-to-ride")


@at_the_desk
@require_POST
def release(request: DeskRequest, job_id: UUID) -> HttpResponse:
    """Declare the bike ready; refused, the page says each reason and keeps what was typed."""
    job = job_or_404(request.user.workshop, job_id)
    mode = request.POST.get("mode", "")
    reason = _reason(request, 1000)
    context = {"job": job, "mode": mode, "reason": reason}
    try:
        services.release_job(
            job=job,
            mode=mode if mode in MODES else "safe",
            reason=reason,
            by=request.user,
            at=timezone.now(),
        )
    except services.CannotRelease as error:
        refused = context | {"refusals": error.refusals}
        return render(request, "handover/refused.html", refused, status=422)
    except NotAllowed as error:
        refused = context | {"refusals": [{"message": str(error)}]}
        return render(request, "handover/refused.html", refused, status=403)
    messages.success(request, _said(job.customer.first_name, mode))
    return redirect("job", job.id)


def _reason(request: DeskRequest, longest: int) -> str:
    """As typed, without the null character, which no browser types and the journal cannot keep."""
    return request.POST.get("reason", "").replace("\0", "").strip()[:longest]


def _said(name: str, mode: str) -> str:
    if mode == "not-to-ride":
        return _(
            "Handed back not to be ridden. {name} gets the warning by text in opening hours."
        ).format(name=name)
    return _("Ready. {name} is told by text in opening hours.").format(name=name)


@at_the_desk
@require_POST
def take_back(request: DeskRequest, job_id: UUID) -> HttpResponse:
    """Undo a release before the bike was collected."""
    job = job_or_404(request.user.workshop, job_id)
    reason = _reason(request, 300)
    try:
        services.take_back(job=job, by=request.user, at=timezone.now(), reason=reason)
    except (services.CannotClose, NotAllowed) as error:
        messages.error(request, str(error))
    else:
        messages.success(request, _("Taken back to the stand. A text not yet sent is stopped."))
    return redirect("job", job.id)


@at_the_desk
@require_POST
def collect(request: DeskRequest, job_id: UUID) -> HttpResponse:
    """The customer has the bike."""
    job = job_or_404(request.user.workshop, job_id)
    try:
        services.collect_job(job=job, by=request.user, at=timezone.now())
    except (services.CannotClose, NotAllowed) as error:
        messages.error(request, str(error))
    else:
        messages.success(
            request, _("{first_name} has the bike.").format(first_name=job.customer.first_name)
        )
    return redirect("job", job.id)


@at_the_desk
@require_POST
def cancel(request: DeskRequest, job_id: UUID) -> HttpResponse:
    """The job will not be done."""
    job = job_or_404(request.user.workshop, job_id)
    reason = _reason(request, 300)
    try:
        services.cancel_job(job=job, reason=reason, by=request.user, at=timezone.now())
    except (services.CannotClose, NotAllowed) as error:
        messages.error(request, str(error))
    else:
        messages.success(request, _("{tag} is cancelled.").format(tag=job.tag))
    return redirect("job", job.id)
