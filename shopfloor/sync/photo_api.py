"""
Photos from phones, whole or in pieces, and photos for whoever may see them.

In pieces: HEAD says by Upload-Offset how much is here, PATCH puts a piece behind it; the last
piece makes the photo. After a cut the phone asks again and goes on.
"""

from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, HttpResponse, UnreadablePostError
from django.utils import timezone
from django.views.decorators.csrf import csrf_exempt

from shopfloor.jobs import photos, uploads
from shopfloor.jobs.shortcuts import photo_response
from shopfloor.sync.speaking import device_of, not_signed_in, problem
from shopfloor.words import gettext as _
from shopfloor.workshop.models import Workshop
from shopfloor.workshop.queries import UnknownDevice


class BadPiece(Exception):
    """What is said about a piece cannot be read."""


class TooLarge(Exception):
    """More came than is taken at once."""


REFUSALS: dict[type[Exception], tuple[str, int]] = {
    photos.PhotoNotHere: ("not-here", 404),
    photos.PhotoRefused: ("not-a-photo", 422),
    uploads.ChunkRefused: ("bad-request", 400),
    BadPiece: ("bad-request", 400),
    TooLarge: ("too-large", 413),
}


@csrf_exempt
def photo(request: HttpRequest, name: str) -> HttpResponse:
    """One photo under its hash: sent by a phone, shown to a phone or to a signed-in person."""
    answer = {"GET": _show, "HEAD": _look, "PUT": _take_whole, "PATCH": _take_piece}
    if request.method not in answer:
        return problem("bad-request", _("Only GET, HEAD, PUT and PATCH are possible here."), 405)
    try:
        return answer[request.method](request, name)
    except UnknownDevice as error:
        return not_signed_in(error)
    except tuple(REFUSALS) as error:
        code, status = REFUSALS[type(error)]
        return problem(code, error, status)


def _show(request: HttpRequest, name: str) -> HttpResponse:
    return photo_response(request, _workshop_of(request), name)


def _look(request: HttpRequest, name: str) -> HttpResponse:
    here = uploads.arrived(workshop=_workshop_of(request), name=name, at=timezone.now())
    if here is None:
        return HttpResponse(content_type="image/jpeg")
    return HttpResponse(status=404, headers={"Upload-Offset": str(here)})


def _take_whole(request: HttpRequest, name: str) -> HttpResponse:
    device = device_of(request)
    data = _body(request)
    photos.store_photo(workshop=device.workshop, name=name, data=data, at=timezone.now())
    return HttpResponse(status=204)


def _take_piece(request: HttpRequest, name: str) -> HttpResponse:
    device = device_of(request)
    if _count(request, "Content-Length") > uploads.MAX_CHUNK:
        raise TooLarge(_("A piece of a photo may have 128 kB at most."))
    offset, length = _count(request, "Upload-Offset"), _count(request, "Upload-Length")
    try:
        here = uploads.add_chunk(
            workshop=device.workshop,
            name=name,
            offset=offset,
            length=length,
            data=_body(request),
            at=timezone.now(),
        )
    except uploads.WrongOffset as error:
        answer = problem("wrong-offset", error, 409)
        answer["Upload-Offset"] = str(error.offset)
        return answer
    return HttpResponse(status=204, headers={"Upload-Offset": str(here)})


def _body(request: HttpRequest) -> bytes:
    try:
        return request.body
    except RequestDataTooBig as error:
        raise TooLarge(_("The photo is larger than 12 MB. Take it again.")) from error
    except UnreadablePostError as error:
        raise BadPiece(_("The connection broke. The rest will be sent again.")) from error


def _count(request: HttpRequest, header: str) -> int:
    text = request.headers.get(header, "")
    if not (text.isascii() and text.isdigit() and len(text) < 16):
        raise BadPiece(_("The header {name} must be a whole number.").format(name=header))
    return int(text)


def _workshop_of(request: HttpRequest) -> Workshop:
    # A phone says who it is by its token; the browser adds the cookie of whoever is signed in.
    if "Authorization" not in request.headers and request.user.is_authenticated:
        return request.user.workshop
    return device_of(request).workshop
