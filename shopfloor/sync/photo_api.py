"""Photos from phones, and photos for whoever may see them."""

from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.csrf import csrf_exempt

from shopfloor.jobs import photos
from shopfloor.jobs.shortcuts import photo_response
from shopfloor.sync.speaking import device_of, problem
from shopfloor.workshop.models import Workshop
from shopfloor.workshop.queries import UnknownDevice


@csrf_exempt
def photo(request: HttpRequest, name: str) -> HttpResponse:
    """PUT keeps a photo under its hash; GET shows it to a phone or to a signed-in person."""
    if request.method == "PUT":
        return _put_photo(request, name)
    if request.method in ("GET", "HEAD"):
        return _get_photo(request, name)
    return problem("bad-request", "Only GET and PUT are possible here.", 405)


def _put_photo(request: HttpRequest, name: str) -> HttpResponse:
    try:
        device = device_of(request)
        photos.store_photo(
            workshop=device.workshop, name=name, data=request.body, at=timezone.now()
        )
    except UnknownDevice as error:
        return problem("sign-in", error, 401)
    except photos.PhotoRefused as error:
        return problem("not-a-photo", error, 422)
    except RequestDataTooBig:
        return problem("too-large", "The photo is larger than 12 MB. Take it again.", 413)
    return HttpResponse(status=204)


def _get_photo(request: HttpRequest, name: str) -> HttpResponse:
    try:
        return photo_response(_workshop_of(request), name)
    except UnknownDevice as error:
        return problem("sign-in", error, 401)
    except photos.PhotoNotHere as error:
        return problem("not-here", error, 404)


def _workshop_of(request: HttpRequest) -> Workshop:
    if request.user.is_authenticated:
        return request.user.workshop
    return device_of(request).workshop
