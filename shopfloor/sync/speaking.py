"""How the phone speaks to the server: who it is, what it sent, and what was wrong with it."""

import json
import zlib
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

import orjson
from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, HttpResponse, JsonResponse
from rest_framework.request import Request

from shopfloor.words import gettext as _
from shopfloor.words import gettext_noop
from shopfloor.workshop.models import Device
from shopfloor.workshop.queries import RevokedDevice, UnknownDevice, device_for_token

MAX_BODY = 8 * 1024 * 1024
TOO_LARGE = gettext_noop("The request is larger than 8 MB. Send fewer entries at once.")
GZIP = 31  # zlib's name for its own stream with the head and tail of a gzip file
WORTH_PACKING = 200
BEARER: list[dict[str, list[str]]] = [{"bearer": []}]


class BadRequest(Exception):
    """The whole request cannot be read; the sentence says what to do."""


def device_of(request: Request | HttpRequest) -> Device:
    """The phone that holds the token of the request. Raises UnknownDevice."""
    scheme, _space, token = request.headers.get("Authorization", "").partition(" ")
    if scheme.lower() != "bearer" or not token:
        raise UnknownDevice(_("This phone is not signed in to the workshop. Sign in again on it."))
    return device_for_token(token.strip())


def object_of(request: Request | HttpRequest) -> dict[str, Any]:
    """The JSON object that was sent, gzipped or plain. Raises BadRequest."""
    data = _json_of(_body(request))
    if not isinstance(data, dict):
        raise BadRequest(_("The request must be a JSON object."))
    return data


def _json_of(body: bytes) -> Any:
    try:
        return orjson.loads(body)
    except orjson.JSONDecodeError:
        pass
    # It is stricter than JSON.parse: one half of an emoji must not turn the other entries away.
    try:
        return json.loads(body.decode("utf-8"))
    except UnicodeDecodeError as error:
        raise BadRequest(_("The request is not UTF-8.")) from error
    except (ValueError, RecursionError) as error:
        raise BadRequest(_("The request is not JSON.")) from error


def _body(request: Request | HttpRequest) -> bytes:
    try:
        raw = (request._request if isinstance(request, Request) else request).body
    except RequestDataTooBig as error:
        raise BadRequest(_(TOO_LARGE)) from error
    if request.headers.get("Content-Encoding", "").lower() == "gzip":
        unpack = zlib.decompressobj(wbits=GZIP)
        try:
            raw = unpack.decompress(raw, MAX_BODY + 1)
        except zlib.error as error:
            raise BadRequest(_("The request says it is gzipped but is not.")) from error
    if len(raw) > MAX_BODY:
        raise BadRequest(_(TOO_LARGE))
    return raw


def packed(answer: Mapping[str, Any], request: Request | HttpRequest) -> HttpResponse:
    """An answer as JSON, small on the way to whoever can unpack it."""
    body = orjson.dumps(answer, _in_words, orjson.OPT_PASSTHROUGH_DATETIME)
    # Nothing in it is a page; the long policy of pages would be a third of a short answer.
    headers = {"Content-Security-Policy": "default-src 'none'"}
    if len(body) > WORTH_PACKING and "gzip" in request.headers.get("Accept-Encoding", ""):
        headers["Content-Encoding"] = "gzip"
        # Without the random padding that pages get: nobody but the phone chooses what is in here.
        body = zlib.compress(body, wbits=GZIP)
    return HttpResponse(body, content_type="application/json", headers=headers)


def _in_words(value: object) -> str:
    """Moments to the millisecond, as the phone writes them."""
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
    raise TypeError(f"{type(value)} has no place on the wire")


def not_signed_in(error: UnknownDevice) -> HttpResponse:
    """
    Who may not speak. A phone that was signed out gives up what the server has, so it is told
    the epoch: after a restore the server may have less than the phone believes.
    """
    told = {"code": error.code, "message": str(error)}
    if isinstance(error, RevokedDevice):
        told["epoch"] = str(error.epoch)
    return JsonResponse(told, status=401)


def problem(code: str, words: object, status: int) -> HttpResponse:
    """What could not be done, and what to do about it."""
    return JsonResponse({"code": code, "message": str(words)}, status=status)
