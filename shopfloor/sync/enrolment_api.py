"""Making a phone a device of the workshop."""

import json

from django.contrib.auth import get_user
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone
from django.views.decorators.csrf import csrf_protect
from django.views.decorators.http import require_POST
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import api_view
from rest_framework.request import Request

from shopfloor.sync.serializers import (
    EnrolAnswerSerializer,
    EnrolRequestSerializer,
    ProblemSerializer,
)
from shopfloor.sync.speaking import problem
from shopfloor.workshop import services as workshops
from shopfloor.workshop.models import Person


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
        return problem("sign-in", "Sign in first, then open the bench again.", 401)
    try:
        data = json.loads(request.body or b"{}")
    except (ValueError, RecursionError):
        return problem("bad-request", "The request is not JSON.", 400)
    form = EnrolRequestSerializer(data=data)
    if not form.is_valid():
        return problem("bad-request", "Give the phone a name of up to 60 letters.", 400)
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
