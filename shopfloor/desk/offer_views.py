"""Offers at the desk: pricing findings, sending them, writing down an answer given by voice."""

from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from shopfloor.approvals import answering, services
from shopfloor.approvals.models import Offer
from shopfloor.approvals.preview import preview_offer
from shopfloor.desk.folded import read_job
from shopfloor.desk.forms import AnswerForm, FindingForm
from shopfloor.desk.page import finding_forms, job_response
from shopfloor.jobs.models import Job
from shopfloor.jobs.shortcuts import job_or_404
from shopfloor.journal.permissions import NotAllowed
from shopfloor.planning.opening import HorizonExceeded
from shopfloor.words import gettext as _
from shopfloor.workshop.access import DeskRequest, at_the_desk


@at_the_desk
@require_POST
def make(request: DeskRequest, job_id: UUID) -> HttpResponse:
    """Offer the chosen findings to the customer."""
    job, at = job_or_404(request.user.workshop, job_id), timezone.now()
    forms = _posted(request, job)
    # Every form is checked, so that all their errors are shown at once.
    if any([bool(form.errors) for form in forms]):  # noqa: C419
        return job_response(request, job, at=at, findings=forms)
    wanted = [one for form in forms if (one := form.wanted())]
    try:
        offer = services.make_offer(job=job, wanted=wanted, by=request.user, at=at)
    except (services.NothingToOffer, HorizonExceeded, NotAllowed) as error:
        return job_response(request, job, at=at, findings=forms, problem=str(error))
    messages.success(request, _said(offer))
    return redirect("job", job.id)


def _said(offer: Offer) -> str:
    name = offer.job.customer.first_name
    if offer.told:
        return _(
            "Within the agreed limit: the steps are added, and {name} is told by text."
        ).format(name=name)
    return _("A text with the question for {name} goes to the outbox.").format(name=name)


@at_the_desk
@require_POST
def price(request: DeskRequest, job_id: UUID) -> HttpResponse:
    """What the choice so far costs, and what it does to the ready day."""
    job = job_or_404(request.user.workshop, job_id)
    forms = _posted(request, job)
    readable = [form for form in forms if form.is_valid()]
    wanted = [one for form in readable if (one := form.wanted())]
    context = {
        "job": job,
        "shop": job.workshop,
        "preview": preview_offer(job=job, wanted=wanted, at=timezone.now()),
        "unreadable": len(forms) - len(readable),
    }
    return render(request, "desk/parts/offer_total.html", context)


def _posted(request: DeskRequest, job: Job) -> list[FindingForm]:
    return [form for _finding, form in finding_forms(read_job(job), request.POST)]


@at_the_desk
@require_POST
def answer(request: DeskRequest, offer_id: UUID) -> HttpResponse:
    """Write down what the customer said by telephone or at the counter."""
    offer, at = _offer(request, offer_id), timezone.now()
    form = AnswerForm(request.POST, offer=offer)
    if not form.is_valid():
        return job_response(request, _job_of(request, offer), at=at, answer=form)
    found = form.cleaned_data
    try:
        answering.answer_offer(
            offer=offer,
            version=found["version"],
            decisions=form.decisions(),
            channel=found["channel"],
            words=found["words"],
            by=request.user,
            at=at,
        )
    except (answering.NotOpen, answering.Changed, answering.Unanswered, NotAllowed) as error:
        found_job = _job_of(request, offer)
        return job_response(request, found_job, at=at, answer=form, problem=str(error))
    messages.success(request, _("The answer is written down. The bench has it at its next sync."))
    return redirect("job", offer.job_id)


@at_the_desk
@require_POST
def withdraw(request: DeskRequest, offer_id: UUID) -> HttpResponse:
    """Take a question back before it is answered."""
    offer = _offer(request, offer_id)
    try:
        services.withdraw_offer(offer=offer, by=request.user, at=timezone.now())
    except (answering.NotOpen, NotAllowed) as error:
        messages.error(request, str(error))
    else:
        messages.success(request, _("The question is taken back. Its link says so now."))
    return redirect("job", offer.job_id)


@at_the_desk
@require_POST
def parts_in(request: DeskRequest, job_id: UUID, finding: UUID) -> HttpResponse:
    """The parts for an agreed finding have arrived."""
    job = job_or_404(request.user.workshop, job_id)
    folded = read_job(job)
    if str(finding) not in folded.state["parts"]:
        raise Http404(_("No parts are awaited for this."))
    services.parts_are_in(job=job, finding=str(finding), by=request.user, at=timezone.now())
    messages.success(
        request, _("Parts for “{finding}” are in.").format(finding=folded.names.finding(finding))
    )
    return redirect("job", job.id)


def _job_of(request: DeskRequest, offer: Offer) -> Job:
    """As it stands; what hangs on the offer may be out of date."""
    return job_or_404(request.user.workshop, offer.job_id)


def _offer(request: DeskRequest, offer_id: UUID) -> Offer:
    related = Offer.objects.select_related("job__workshop", "job__customer", "job__bike")
    return get_object_or_404(related, id=offer_id, job__workshop=request.user.workshop)
