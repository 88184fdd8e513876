"""The phone's side door: sync, photos, and making a phone a device of the workshop."""

import json
import zlib
from datetime import datetime
from typing import Any

from django.contrib.auth import get_user
from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone
from django.views.decorators.csrf import csrf_exempt, csrf_protect
from django.views.decorators.http import require_POST
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import api_view
from rest_framework.request import Request

from shopfloor.jobs import photos
from shopfloor.jobs.shortcuts import photo_response
from shopfloor.sync import services
from shopfloor.sync.serializers import (
    EnrolAnswerSerializer,
    EnrolRequestSerializer,
    ProblemSerializer,
    SyncAnswerSerializer,
    SyncEnvelopeSerializer,
    SyncRequestSerializer,
)
from shopfloor.workshop import services as workshops
from shopfloor.workshop.models import Device, Person, Workshop
from shopfloor.workshop.queries import UnknownDevice, device_for_token

MAX_BODY = 8 * 1024 * 1024
TOO_LARGE = "The request is larger than 8 MB. Send fewer entries at once."
BEARER: list[dict[str, list[str]]] = [{"bearer": []}]


class BadRequest(Exception):
    """The whole request cannot be read; the sentence says what to do."""


@extend_schema(
    request=SyncRequestSerializer,
    responses={200: SyncAnswerSerializer, 400: ProblemSerializer, 401: ProblemSerializer},
    auth=BEARER,  # type: ignore[arg-type]
    operation_id="sync",
)
@api_view(["POST"])
def sync(request: Request) -> HttpResponse:
    """Push entries and pull what is new, in one round trip. Safe to repeat."""
    at = timezone.now()
    try:
        device = _device(request)
        asked = _envelope(request, device)
    except UnknownDevice as error:
        return _problem("sign-in", error, 401)
    except BadRequest as error:
        return _problem("bad-request", error, 400)
    return JsonResponse(_answer(device, asked, at))


def _answer(device: Device, asked: dict[str, Any], at: datetime) -> dict[str, Any]:
    taken = services.take_entries(device=device, raw_entries=asked["entries"], at=at)
    workshops.heard_from(device=device, at=at, sent_at=asked["sent_at"], last_n=asked["last_n"])
    same_epoch = asked["epoch"] in (None, device.workshop.epoch)
    page = services.entries_after(
        workshop=device.workshop, cursor=asked["cursor"] if same_epoch else 0
    )
    return {
        "epoch": str(device.workshop.epoch),
        "accepted": taken.accepted,
        "refused": taken.refused,
        "entries": page.entries,
        "jobs": page.jobs,
        "workshop": services.workshop_info(device.workshop),
        "cursor": page.cursor,
        "more": page.more,
        "server_at": at,
    }


def _device(request: Request | HttpRequest) -> Device:
    scheme, _, token = request.headers.get("Authorization", "").partition(" ")
    if scheme.lower() != "bearer" or not token:
        raise UnknownDevice("This phone is not signed in to the workshop. Sign in again on it.")
    return device_for_token(token.strip())


def _envelope(request: Request, device: Device) -> dict[str, Any]:
    try:
        data = json.loads(_body(request))
    except (ValueError, RecursionError) as error:
        raise BadRequest("The request is not JSON.") from error
    if not isinstance(data, dict):
        raise BadRequest("The request must be a JSON object.")
    form = SyncEnvelopeSerializer(data=data)
    if not form.is_valid():
        raise BadRequest(f"The request is not complete: {json.dumps(form.errors)}")
    asked = dict(form.validated_data)
    if asked["device"] != device.id:
        raise BadRequest("The token belongs to another device. Sign in again on this phone.")
    return asked


def _body(request: Request) -> str:
    try:
        raw = request._request.body
    except RequestDataTooBig as error:
        raise BadRequest(TOO_LARGE) from error
    if request.headers.get("Content-Encoding", "").lower() == "gzip":
        unpack = zlib.decompressobj(wbits=31)
        try:
            raw = unpack.decompress(raw, MAX_BODY + 1)
        except zlib.error as error:
            raise BadRequest("The request says it is gzipped but is not.") from error
    if len(raw) > MAX_BODY:
        raise BadRequest(TOO_LARGE)
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as error:
        raise BadRequest("The request is not UTF-8.") from error


@extend_schema(
    request=EnrolRequestSerializer,
    responses={201: EnrolAnswerSerializer, 400: ProblemSerializer, 401: ProblemSerializer},
    operation_id="enrol",
)
@api_view(["POST"])
def devices(request: Request) -> HttpResponse:
    """Make this phone a device of the signed-in person's workshop."""
    return _enrol(request._request)


@csrf_protect
@require_POST
def _enrol(request: HttpRequest) -> HttpResponse:
    # The framework around this view reads no session, and has put nobody into request.user.
    person = get_user(request)
    if not isinstance(person, Person):
        return _problem("sign-in", "Sign in first, then open the bench again.", 401)
    try:
        data = json.loads(request.body or b"{}")
    except (ValueError, RecursionError):
        return _problem("bad-request", "The request is not JSON.", 400)
    form = EnrolRequestSerializer(data=data)
    if not form.is_valid():
        return _problem("bad-request", "Give the phone a name of up to 60 letters.", 400)
    device, token = workshops.enrol_device(
        person=person, name=str(form.validated_data["name"]), at=timezone.now()
    )
    answer = {
        "device": str(device.id),
        "token": token,
        "person": str(person.id),
        "epoch": str(device.workshop.epoch),
    }
    return JsonResponse(answer, status=201)


@csrf_exempt
def photo(request: HttpRequest, name: str) -> HttpResponse:
    """PUT keeps a photo under its hash; GET shows it to a phone or to a signed-in person."""
    if request.method == "PUT":
        return _put_photo(request, name)
    if request.method in ("GET", "HEAD"):
        return _get_photo(request, name)
    return _problem("bad-request", "Only GET and PUT are possible here.", 405)


def _put_photo(request: HttpRequest, name: str) -> HttpResponse:
    try:
        device = _device(request)
        photos.store_photo(
            workshop=device.workshop, name=name, data=request.body, at=timezone.now()
        )
    except UnknownDevice as error:
        return _problem("sign-in", error, 401)
    except photos.PhotoRefused as error:
        return _problem("not-a-photo", error, 422)
    except RequestDataTooBig:
        return _problem("too-large", "The photo is larger than 12 MB. Take it again.", 413)
    return HttpResponse(status=204)


def _get_photo(request: HttpRequest, name: str) -> HttpResponse:
    try:
        return photo_response(_workshop_of(request), name)
    except UnknownDevice as error:
        return _problem("sign-in", error, 401)
    except photos.PhotoNotHere as error:
        return _problem("not-here", error, 404)


def _workshop_of(request: HttpRequest) -> Workshop:
    if request.user.is_authenticated:
        return request.user.workshop
    return _device(request).workshop


def _problem(code: str, words: object, status: int) -> HttpResponse:
    return JsonResponse({"code": code, "message": str(words)}, status=status)
