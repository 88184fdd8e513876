"""The page of a bike at the desk: its jobs, its wear, what is known of its parts, whose it was."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from shopfloor.bikes import services
from shopfloor.bikes.picture import picture_of
from shopfloor.bikes.remembered import found_loose, marks_of, owners_of, wear_over_time
from shopfloor.bikes.visits import Visit, visits_of
from shopfloor.customers.models import Bike
from shopfloor.jobs.shortcuts import job_or_404
from shopfloor.jobs.words import number, service_in_words
from shopfloor.journal.permissions import NotAllowed
from shopfloor.words import gettext as _
from shopfloor.workshop.access import DeskRequest, at_the_desk


@at_the_desk
@require_safe
def bike(request: DeskRequest, bike_id: UUID) -> HttpResponse:
    return render(request, "bikes/bike.html", _context(_bike_or_404(request, bike_id)))


def _bike_or_404(request: DeskRequest, bike_id: UUID) -> Bike:
    rows = Bike.objects.filter(workshop=request.user.workshop).select_related(
        "customer", "workshop"
    )
    found = rows.filter(id=bike_id).first()
    if found is None:
        raise Http404
    return found


def _context(found: Bike) -> dict[str, Any]:
    visits = visits_of(found)
    return {
        "bike": found,
        "shop": found.workshop,
        "visits": [_visit(visit) for visit in reversed(visits)],
        "wear": [
            {"wear": one, "picture": picture_of(one), "now": _now(one), "limit": number(one.limit)}
            for one in wear_over_time(visits)
        ],
        "loose": found_loose(visits),
        "marks": marks_of(visits),
        "owners": list(reversed(owners_of(found, visits))),
        "others": found.customer.bikes.exclude(pk=found.pk).order_by("-created_at"),
    }


def _visit(visit: Visit) -> dict[str, Any]:
    job, state = visit.job, visit.state
    return {
        "job": job,
        "service": service_in_words(job.service),
        "renewed": [added["title"] for added in state["added"]],
        "not_to_ride": (state["released"] or {}).get("mode") == "not-to-ride",
    }


def _now(one: Any) -> str:
    return number(one.parts[-1][-1].value)


@at_the_desk
@require_POST
def change_hands(request: DeskRequest, bike_id: UUID) -> HttpResponse:
    """Somebody else has the bike now."""
    found = _bike_or_404(request, bike_id)
    typed = {
        name: request.POST.get(name, "").replace("\0", "").strip()[:80]
        for name in ("name", "phone")
    }
    try:
        services.change_hands(bike=found, by=request.user, at=timezone.now(), **typed)
    except (services.NotClear, NotAllowed) as error:
        context = _context(_bike_or_404(request, bike_id)) | {"typed": typed, "problem": str(error)}
        return render(request, "bikes/bike.html", context, status=422)
    messages.success(request, _("The bike is {name}'s now.").format(name=found.customer.name))
    return redirect("bike", found.id)


@at_the_desk
@require_POST
def take_mark(request: DeskRequest, job_id: UUID, item: str) -> HttpResponse:
    """Put the mark of an earlier job in front of whoever works on this one."""
    job = job_or_404(request.user.workshop, job_id)
    try:
        services.take_mark(job=job, item=item, by=request.user, at=timezone.now())
    except services.NoSuchMark as error:
        messages.error(request, str(error))
    else:
        messages.success(request, _("It stands at its step on the bench now, as a note."))
    return redirect("job", job.id)
