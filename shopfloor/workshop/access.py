"""Who may open a page of the desk, and in which time zone it is drawn."""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec
from zoneinfo import ZoneInfo

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from shopfloor.workshop.models import Person, Role

P = ParamSpec("P")


class DeskRequest(HttpRequest):
    """A request of somebody who is signed in."""

    user: Person


def at_the_desk(
    view: Callable[Concatenate[DeskRequest, P], HttpResponse],
) -> Callable[Concatenate[HttpRequest, P], HttpResponse]:
    """Only for the signed-in; times in the page are the shop's."""

    @login_required
    @wraps(view)
    def checked(request: DeskRequest, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        with timezone.override(ZoneInfo(request.user.workshop.timezone)):
            return view(request, *args, **kwargs)

    return checked  # type: ignore[return-value]


def for_managers(
    view: Callable[Concatenate[DeskRequest, P], HttpResponse],
) -> Callable[Concatenate[HttpRequest, P], HttpResponse]:
    """Like at_the_desk, and a mechanic is told who to ask."""

    @wraps(view)
    def checked(request: DeskRequest, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        if request.user.role != Role.MANAGER:
            managers = request.user.workshop.people.filter(role=Role.MANAGER, is_active=True)
            context = {"managers": managers.order_by("name")}
            return render(request, "workshop/managers_only.html", context, status=403)
        return view(request, *args, **kwargs)

    return at_the_desk(checked)  # type: ignore[arg-type]  # functools.wraps names the argument
