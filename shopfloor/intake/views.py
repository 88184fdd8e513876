"""Booking a bike in: one form, drawn anew in pieces while it is filled in, or as a whole."""

from datetime import datetime
from typing import Any

from django.contrib import messages
from django.http import HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from shopfloor.intake import services
from shopfloor.intake.forms import NEW_BIKE, BookInForm, fill_in, known_bikes
from shopfloor.planning.opening import HorizonExceeded
from shopfloor.trade.route import SERVICES, compose, minutes
from shopfloor.words import gettext as _
from shopfloor.workshop.access import DeskRequest, at_the_desk
from shopfloor.workshop.fields import say_errors
from shopfloor.workshop.models import Workshop


@at_the_desk
@require_http_methods(["GET", "HEAD", "POST"])
def book_in(request: DeskRequest) -> HttpResponse:
    """The whole form; without script its “look again” button does what the pieces do with it."""
    shop, at = request.user.workshop, timezone.now()
    if request.method != "POST":
        form = BookInForm(shop=shop)
        return render(request, "intake/book_in.html", _context(shop, form, QueryDict(), at))
    data = fill_in(shop, request.POST)
    form = BookInForm(data, shop=shop)
    if "look" in request.POST or _is_drawn_anew(request.POST):
        return _look(request, data, at)
    if form.is_valid():
        try:
            job = services.take_in(workshop=shop, intake=form.intake(shop), by=request.user, at=at)
        except services.NotClear as error:
            say_errors(form, error.errors)
        except HorizonExceeded as error:
            form.add_error(None, str(error))
        else:
            messages.success(
                request,
                _("{tag} is taken in. Print its tag and put it on the bike.").format(tag=job.tag),
            )
            return redirect("job", job.id)
    context = _context(shop, form, data, at) | {"form": form}
    return render(request, "intake/book_in.html", context, status=422)


def _is_drawn_anew(posted: QueryDict) -> bool:
    """A kind or bike was chosen without script: what was filled in for it must be seen first."""
    # A customer without bikes is asked for none, and the page was drawn for a new one.
    pairs = (("kind", "kind_shown", ""), ("bike_id", "bike_shown", NEW_BIKE))
    return any(
        shown in posted and (posted.get(field) or usual) != posted[shown]
        for field, shown, usual in pairs
    )


def _look(request: DeskRequest, data: QueryDict, at: datetime) -> HttpResponse:
    """The same form with what follows from the answers so far, and no complaints yet."""
    shop = request.user.workshop
    form = _quiet_form(shop, data)
    return render(request, "intake/book_in.html", _context(shop, form, data, at) | {"looked": True})


@at_the_desk
@require_POST
def customer(request: DeskRequest) -> HttpResponse:
    """Who has this number, and which bikes were here before."""
    return _piece(request, "intake/_customer.html")


@at_the_desk
@require_POST
def bike(request: DeskRequest) -> HttpResponse:
    """The bike's words and traits for the tile or the kind that was chosen."""
    return _piece(request, "intake/_bike.html")


@at_the_desk
@require_POST
def ready(request: DeskRequest) -> HttpResponse:
    """What it costs and what day can be promised, for the answers so far."""
    return _piece(request, "intake/_agree.html")


def _piece(request: DeskRequest, template: str) -> HttpResponse:
    shop = request.user.workshop
    data = fill_in(shop, request.POST)
    return render(request, template, _context(shop, _quiet_form(shop, data), data, timezone.now()))


def _quiet_form(shop: Workshop, data: QueryDict) -> BookInForm:
    """A form that holds the answers and has checked them, without showing errors yet."""
    form = BookInForm(data, shop=shop)
    form.is_valid()
    form.errors.clear()
    return form


def _context(shop: Workshop, form: BookInForm, data: QueryDict, at: datetime) -> dict[str, Any]:
    traits = form.traits()
    service = data.get("service") or "standard"
    return {
        "shop": shop,
        "book": form,
        "kind": data.get("kind", ""),
        "bike_id": data.get("bike_id") or NEW_BIKE,
        "new_bike": NEW_BIKE,
        "bikes": known_bikes(shop, data),
        "tiles": _tiles(shop, traits, service),
        "price_minor": shop.service_prices.get(service, 0),
        **_promise(shop, traits, service, at),
    }


def _promise(shop: Workshop, traits: dict[str, Any], service: str, at: datetime) -> dict[str, Any]:
    """The day that can be promised, or the sentence that says why none can."""
    if not traits or service not in SERVICES:
        return {}
    try:
        found = services.ready_for(workshop=shop, traits=traits, service=service, at=at)
    except HorizonExceeded as error:
        return {"never": str(error)}
    return {"ready": found}


def _tiles(shop: Workshop, traits: dict[str, Any], chosen: str) -> list[dict[str, Any]]:
    """The services with price and, once the kind is known, how long each takes on this bike."""
    return [
        {
            "key": key,
            "title": _(title),
            "price_minor": shop.service_prices.get(key, 0),
            "minutes": minutes(compose(traits, key))["typical"] if traits else None,
            "checked": key == chosen,
        }
        for key, title in SERVICES.items()
    ]
