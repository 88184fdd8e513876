"""How the phone speaks to the server: who it is, what it sent, and what was wrong with it."""

import json
import zlib
from typing import Any

from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, HttpResponse, JsonResponse
from rest_framework.request import Request

from shopfloor.workshop.models import Device
from shopfloor.workshop.queries import UnknownDevice, device_for_token

MAX_BODY = 8 * 1024 * 1024
TOO_LARGE = "The request is larger than 8 MB. Send fewer entries at once."
BEARER: list[dict[str, list[str]]] = [{"bearer": []}]


class BadRequest(Exception):
    """The whole request cannot be read; the sentence says what to do."""


def device_of(request: Request | HttpRequest) -> Device:
    """The phone that holds the token of the request. Raises UnknownDevice."""
    scheme, _, token = request.headers.get("Authorization", "").partition(" ")
    if scheme.lower() != "bearer" or not token:
        raise UnknownDevice("This phone is not signed in to the workshop. Sign in again on it.")
    return device_for_token(token.strip())


def object_of(request: Request | HttpRequest) -> dict[str, Any]:
    """The JSON object that was sent, gzipped or plain. Raises BadRequest."""
    try:
        data = json.loads(_body(request))
    except (ValueError, RecursionError) as error:
        raise BadRequest("The request is not JSON.") from error
    if not isinstance(data, dict):
        raise BadRequest("The request must be a JSON object.")
    return data


def _body(request: Request | HttpRequest) -> str:
    try:
        raw = (request._request if isinstance(request, Request) else request).body
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


def problem(code: str, words: object, status: int) -> HttpResponse:
    """What could not be done, and what to do about it."""
    return JsonResponse({"code": code, "message": str(words)}, status=status)
