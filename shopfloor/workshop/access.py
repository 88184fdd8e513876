"""Who may open a page of the desk, and in which time zone it is drawn."""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec
from zoneinfo import ZoneInfo

from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django_htmx.middleware import HtmxDetails

from shopfloor.journal.permissions import check_can_set_up, permitted
from shopfloor.workshop.models import Person, Role

P = ParamSpec("P")


class DeskRequest(HttpRequest):
    """A request of somebody who is signed in."""

    user: Person
    htmx: HtmxDetails


def at_the_desk(
    view: Callable[Concatenate[DeskRequest, P], HttpResponse],
) -> Callable[Concatenate[HttpRequest, P], HttpResponse]:
    """Only for the signed-in; times in the page are the shop's."""

    @wraps(view)
    def checked(request: DeskRequest, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        if not request.user.is_authenticated:
            return _to_sign_in(request)
        with timezone.override(ZoneInfo(request.user.workshop.timezone)):
            return view(request, *args, **kwargs)

    return checked  # type: ignore[return-value]


def _to_sign_in(request: DeskRequest) -> HttpResponse:
    """A page leads to the sign-in; a piece of a page takes the whole page there."""
    if not request.htmx:
        return redirect_to_login(request.get_full_path())
    page = redirect_to_login(request.htmx.current_url_abs_path or "/")
    return HttpResponse(status=204, headers={"HX-Redirect": page["Location"]})


def for_managers(
    view: Callable[Concatenate[DeskRequest, P], HttpResponse],
) -> Callable[Concatenate[HttpRequest, P], HttpResponse]:
    """Like at_the_desk, and a mechanic is told who to ask."""

    @wraps(view)
    def checked(request: DeskRequest, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        if not permitted(check_can_set_up, request.user.role):
            managers = request.user.workshop.people.filter(role=Role.MANAGER, is_active=True)
            context = {"managers": managers.order_by("name")}
            return render(request, "workshop/managers_only.html", context, status=403)
        return view(request, *args, **kwargs)

    return at_the_desk(checked)  # type: ignore[arg-type]  # functools.wraps names the argument
