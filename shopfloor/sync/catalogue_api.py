"""The catalogue for phones, which compose the route of a walk-in from it without signal."""

import gzip
import json
from functools import cache
from hashlib import sha256

from django.http import HttpResponse
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import api_view
from rest_framework.request import Request

from shopfloor.sync.catalogue_serializers import CatalogueSerializer
from shopfloor.sync.packing import PLAIN, packed_file
from shopfloor.sync.serializers import ProblemSerializer
from shopfloor.sync.speaking import BEARER, device_of, not_signed_in
from shopfloor.trade.catalogue import catalogue as trade_catalogue
from shopfloor.workshop.queries import UnknownDevice


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
    return packed_file(
        request._request,
        {"gzip": _zipped, PLAIN: _plain},
        content_type="application/json",
        tag=_tag(),
        caching="private, no-cache",
    )


@cache
def _plain() -> bytes:
    return json.dumps(trade_catalogue(), ensure_ascii=False, separators=(",", ":")).encode()


@cache
def _zipped() -> bytes:
    return gzip.compress(_plain(), mtime=0)


@cache
def _tag() -> str:
    return sha256(_plain()).hexdigest()[:32]
