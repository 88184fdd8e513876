"""The phone's side door: pushing entries and pulling what is new."""

import json
from datetime import datetime
from typing import Any

from django.http import HttpResponse, JsonResponse
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import api_view
from rest_framework.request import Request

from shopfloor.sync import services
from shopfloor.sync.serializers import (
    ProblemSerializer,
    SyncAnswerSerializer,
    SyncEnvelopeSerializer,
    SyncRequestSerializer,
)
from shopfloor.sync.speaking import BEARER, BadRequest, device_of, object_of, problem
from shopfloor.workshop import services as workshops
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
        return problem("sign-in", error, 401)
    except BadRequest as error:
        return problem("bad-request", error, 400)
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


def _envelope(request: Request, device: Device) -> dict[str, Any]:
    form = SyncEnvelopeSerializer(data=object_of(request))
    if not form.is_valid():
        raise BadRequest(f"The request is not complete: {json.dumps(form.errors)}")
    asked = dict(form.validated_data)
    if asked["device"] != device.id:
        raise BadRequest("The token belongs to another device. Sign in again on this phone.")
    return asked
