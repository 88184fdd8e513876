"""Putting a customer's telephone number right, from the job that tells of it."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from shopfloor.desk.page import job_response
from shopfloor.intake.numbers import put_number_right
from shopfloor.intake.services import NotClear
from shopfloor.jobs.shortcuts import job_or_404
from shopfloor.words import gettext as _
from shopfloor.workshop.access import DeskRequest, at_the_desk


@at_the_desk
@require_POST
def number(request: DeskRequest, job_id: UUID) -> HttpResponse:
    job = job_or_404(request.user.workshop, job_id)
    typed = request.POST.get("phone", "")[:80].replace("\0", "")
    try:
        told = put_number_right(customer=job.customer, phone=typed)
    except NotClear as error:
        job.customer.phone_typed = typed
        return job_response(request, job, at=timezone.now(), problem=error.errors["phone"])
    messages.success(request, _("The number is kept. {more}").format(more=told).strip())
    return redirect("job", job.id)
