"""The catalogue for phones, which compose the route of a walk-in from it without signal."""

import gzip
import json
from functools import cache
from hashlib import sha256
from typing import NamedTuple

from django.http import HttpRequest, HttpResponse
from django.utils.cache import get_conditional_response
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import api_view
from rest_framework.request import Request

from shopfloor.sync.catalogue_serializers import CatalogueSerializer
from shopfloor.sync.serializers import ProblemSerializer
from shopfloor.sync.speaking import BEARER, device_of, not_signed_in
from shopfloor.trade.catalogue import catalogue as trade_catalogue
from shopfloor.workshop.queries import UnknownDevice


class Sent(NamedTuple):
    """One encoding of the catalogue. A strong tag names the very bytes, so each has its own."""

    body: bytes
    etag: str


@extend_schema(
    responses={200: CatalogueSerializer, 401: ProblemSerializer},
    auth=BEARER,  # type: ignore[arg-type]
    operation_id="catalogue",
)
@api_view(["GET"])
def catalogue(request: Request) -> HttpResponse:
    """What a route is composed from. It changes with a new version of the server only."""
    try:
        device_of(request)
    except UnknownDevice as error:
        return not_signed_in(error)
    return _answer(request._request)


def _answer(request: HttpRequest) -> HttpResponse:
    zipped = "gzip" in request.headers.get("Accept-Encoding", "").lower()
    sent = _zipped() if zipped else _plain()
    response = HttpResponse(sent.body, content_type="application/json")
    response["ETag"] = sent.etag
    response["Cache-Control"] = "private, no-cache"
    response["Vary"] = "Accept-Encoding"
    if zipped:
        response["Content-Encoding"] = "gzip"
    return get_conditional_response(request, etag=sent.etag, response=response) or response


@cache
def _plain() -> Sent:
    body = json.dumps(trade_catalogue(), ensure_ascii=False, separators=(",", ":")).encode()
    return Sent(body, f'"{sha256(body).hexdigest()[:32]}"')


@cache
def _zipped() -> Sent:
    plain = _plain()
    return Sent(gzip.compress(plain.body, mtime=0), f'{plain.etag[:-1]}-gzip"')
