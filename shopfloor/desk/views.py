"""The pages of one job, and the search over all of them."""

from uuid import UUID

from django.conf import settings
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from shopfloor.desk.forms import PromiseForm
from shopfloor.desk.page import job_response
from shopfloor.desk.search import find_jobs
from shopfloor.jobs.shortcuts import job_or_404
from shopfloor.jobs.words import service_in_words
from shopfloor.journal.permissions import NotAllowed
from shopfloor.promises.services import move_promise
from shopfloor.words import gettext as _
from shopfloor.workshop.access import DeskRequest, at_the_desk
from shopfloor.workshop.codes import qr_svg

JOBS_SHOWN = 100


@at_the_desk
@require_safe
def jobs(request: DeskRequest) -> HttpResponse:
    """All jobs, or those that a number, name, telephone number or words of the bike lead to."""
    text = request.GET.get("find", "")[:80].replace("\0", "").strip()
    found = find_jobs(workshop=request.user.workshop, text=text, limit=JOBS_SHOWN + 1)
    if len(found) == 1 and text:
        return redirect("job", found[0].id)
    context = {
        "text": text,
        "jobs": found[:JOBS_SHOWN],
        "more": len(found) > JOBS_SHOWN,
        "shown": JOBS_SHOWN,
    }
    return render(request, "desk/jobs.html", context)


@at_the_desk
@require_safe
def job(request: DeskRequest, job_id: UUID) -> HttpResponse:
    found = job_or_404(request.user.workshop, job_id)
    return job_response(request, found, at=timezone.now())


@at_the_desk
@require_POST
def promise(request: DeskRequest, job_id: UUID) -> HttpResponse:
    """Move the promise, with the reason the next person will ask for."""
    found, at = job_or_404(request.user.workshop, job_id), timezone.now()
    form = PromiseForm(request.POST, at=at)
    if not form.is_valid():
        return job_response(request, found, at=at, promise=form)
    facts = {name: form.cleaned_data[name] for name in ("ready_at", "why", "tell")}
    try:
        move_promise(job=found, by=request.user, at=at, **facts)
    except NotAllowed as error:
        form.add_error(None, str(error))
        return job_response(request, found, at=at, promise=form)
    told = (
        _("A text about it goes to the outbox.") if facts["tell"] else _("No text goes out for it.")
    )
    messages.success(request, _("The promise is moved. {told}").format(told=told))
    return redirect("job", found.id)


@at_the_desk
@require_safe
def tag(request: DeskRequest, job_id: UUID) -> HttpResponse:
    """The label that goes on the bike."""
    found = job_or_404(request.user.workshop, job_id)
    context = {"job": found, "service": service_in_words(found.service)}
    return render(request, "desk/tag.html", context)


@at_the_desk
@require_safe
def tag_code(request: DeskRequest, job_id: UUID) -> HttpResponse:
    """The tag's QR code: it opens the job on the bench."""
    found = job_or_404(request.user.workshop, job_id)
    drawn = qr_svg(f"{settings.BASE_URL}/bench/jobs/{found.id}", sturdy=True)
    response = HttpResponse(drawn, content_type="image/svg+xml")
    response["Cache-Control"] = "private, max-age=3600"
    return response
