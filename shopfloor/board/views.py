"""The board: one page, and its inner part that a wall screen asks for every few seconds."""

from datetime import datetime

from django.http import HttpResponse, HttpResponseNotModified
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from shopfloor.board.queries import Board
from shopfloor.board.queries import board as read_board
from shopfloor.workshop.access import DeskRequest, at_the_desk
from shopfloor.workshop.models import DeviceKind, Workshop
from shopfloor.workshop.templatetags.assets import asset


@at_the_desk
@require_safe
def board(request: DeskRequest) -> HttpResponse:
    return _render(request, "board/board.html", timezone.now())


@at_the_desk
@require_safe
def live(request: DeskRequest) -> HttpResponse:
    """The board's inner part, or 304 without looking at a single job."""
    at = timezone.now()
    if _tag(request, at) in request.headers.get("If-None-Match", ""):
        return HttpResponseNotModified()
    return _render(request, "board/_board.html", at)


def _render(request: DeskRequest, template: str, at: datetime) -> HttpResponse:
    tag = _tag(request, at)
    found = read_board(workshop=request.user.workshop, at=at)
    context = {"board": found, "tag": tag, "begins": _begins(request.user.workshop, found)}
    response = render(request, template, context)
    response["ETag"] = f'"{tag}"'
    response["Cache-Control"] = "private, no-cache"
    return response


def _begins(workshop: Workshop, found: Board) -> bool:
    """A shop that has neither a job nor a phone yet is led to the next thing to do."""
    rows = [found.late, found.later, found.unpromised, found.ready, *(b.rows for b in found.bands)]
    phones = workshop.devices.filter(kind=DeviceKind.PHONE)
    return not any(rows) and not phones.exists()


def _tag(request: DeskRequest, at: datetime) -> str:
    """
    Changes with every entry of the workshop, with the minute (the board says how long things
    wait), and with a new build.
    """
    build = asset("shopfloor.css").rpartition("-")[2].partition(".")[0]
    return f"{request.user.workshop.last_seq}-{int(at.timestamp() // 60)}-{build}"
