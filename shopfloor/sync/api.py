"""The phone's side door: pushing entries, pulling what is new, and fetching routes."""

import json
from typing import Any

from django.http import HttpResponse
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import api_view
from rest_framework.request import Request

from shopfloor.jobs.routes import routes_by_sha
from shopfloor.sync import services
from shopfloor.sync.serializers import (
    MAX_ENTRIES,
    ProblemSerializer,
    RoutesAnswerSerializer,
    RoutesRequestSerializer,
    SyncAnswerSerializer,
    SyncEnvelopeSerializer,
    SyncRequestSerializer,
)
from shopfloor.sync.speaking import (
    BEARER,
    BadRequest,
    device_of,
    not_signed_in,
    object_of,
    packed,
    problem,
)
from shopfloor.words import gettext as _
from shopfloor.workshop.models import Device
from shopfloor.workshop.queries import UnknownDevice


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
        device = device_of(request)
        asked = _envelope(request, device)
    except UnknownDevice as error:
        return not_signed_in(error)
    except BadRequest as error:
        return problem("bad-request", error, 400)
    return packed(services.exchange(device=device, asked=asked, at=at), request)


def _envelope(request: Request, device: Device) -> dict[str, Any]:
    data = object_of(request)
    entries = data.pop("entries", None)
    if not isinstance(entries, list) or len(entries) > MAX_ENTRIES:
        raise BadRequest(
            _("The request must hold a list of at most {n} entries.").format(n=MAX_ENTRIES)
        )
    form = SyncEnvelopeSerializer(data=data)
    if not form.is_valid():
        raise BadRequest(
            _("The request is not complete: {fields}").format(fields=json.dumps(form.errors))
        )
    asked = {**form.validated_data, "entries": entries}
    if asked["device"] != device.id:
        raise BadRequest(_("The token belongs to another device. Sign in again on this phone."))
    return asked


@extend_schema(
    request=RoutesRequestSerializer,
    responses={200: RoutesAnswerSerializer, 400: ProblemSerializer, 401: ProblemSerializer},
    auth=BEARER,  # type: ignore[arg-type]
    operation_id="routes",
)
@api_view(["POST"])
def routes(request: Request) -> HttpResponse:
    """The routes that job headers name; one that no job of the workshop has is left out."""
    try:
        device = device_of(request)
        form = RoutesRequestSerializer(data=object_of(request))
    except UnknownDevice as error:
        return not_signed_in(error)
    except BadRequest as error:
        return problem("bad-request", error, 400)
    if not form.is_valid():
        sentence = _("These are no routes: {fields}").format(fields=json.dumps(form.errors))
        return problem("bad-request", sentence, 400)
    shas: list[str] = form.validated_data["routes"]
    steps, found = routes_by_sha(workshop=device.workshop, shas=shas)
    return packed({"steps": steps, "routes": found}, request)
