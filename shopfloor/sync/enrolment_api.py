"""Making a phone a device of the workshop."""

from typing import Any
from uuid import UUID

from django.conf import settings
from django.contrib.auth import get_user
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone
from django.views.decorators.csrf import csrf_protect
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import api_view
from rest_framework.request import Request

from shopfloor.sync.enrolment_serializers import EnrolAnswerSerializer, EnrolRequestSerializer
from shopfloor.sync.serializers import ProblemSerializer
from shopfloor.sync.speaking import BadRequest, object_of, problem
from shopfloor.words import gettext as _
from shopfloor.workshop import enrolment
from shopfloor.workshop.enrolment import CodeRefused, Enrolled
from shopfloor.workshop.models import Person
from shopfloor.workshop.phones import lost_with

STATUS = {"unknown-code": 404, "expired-code": 410, "used-code": 410, "too-many-tries": 429}


@extend_schema(
    request=EnrolRequestSerializer,
    responses={
        201: EnrolAnswerSerializer,
        **dict.fromkeys((400, 401, 404, 410, 429), ProblemSerializer),
    },
    auth=[],
    operation_id="enrol",
)
@api_view(["POST"])
def devices(request: Request) -> HttpResponse:
    """Make this phone a device, by a code or by the session of a person of the workshop."""
    try:
        asked = _asked(request)
    except BadRequest as error:
        return problem("bad-request", error, 400)
    if not asked["secret"]:
        return _by_session(request._request, asked)
    try:
        enrolled = enrolment.enrol_by_code(
            secret=asked["secret"],
            former=asked["former"],
            attempt=asked["attempt"],
            tried_from=_tried_from(request._request),
            at=timezone.now(),
        )
    except CodeRefused as error:
        return problem(error.code, error, STATUS[error.code])
    return _answer(enrolled)


def _asked(request: Request) -> dict[str, Any]:
    form = EnrolRequestSerializer(data=object_of(request))
    if form.is_valid():
        return dict(form.validated_data)
    if "name" in form.errors:
        raise BadRequest(_("Give the phone a name of up to 60 letters."))
    if "secret" in form.errors:
        raise BadRequest(_("This is no code from the desk. Scan it again."))
    raise BadRequest(_("What this phone remembers of itself cannot be read."))


@csrf_protect
def _by_session(request: HttpRequest, asked: dict[str, Any]) -> HttpResponse:
    # The framework around this view reads no session, and has put nobody into request.user.
    person = get_user(request)
    if not isinstance(person, Person):
        sentence = _("Scan a code from the desk, or sign in first and open the bench again.")
        return problem("sign-in", sentence, 401)
    return _answer(
        enrolment.enrol_own(
            person=person, name=asked["name"], former=asked["former"], at=timezone.now()
        )
    )


def _answer(enrolled: Enrolled) -> HttpResponse:
    device, workshop = enrolled.device, enrolled.device.workshop
    answer = {
        "device": str(device.id),
        "name": device.name,
        "token": enrolled.token,
        "workshop": str(workshop.id),
        "workshop_name": workshop.name,
        "person": str(device.person_id) if device.person_id else None,
        "epoch": str(workshop.epoch),
        "former": device.former,
        "lost": lost_with(workshop, map(UUID, device.former)),
    }
    response = JsonResponse(answer, status=201)
    response["Cache-Control"] = "no-store"
    return response


def _tried_from(request: HttpRequest) -> str:
    """The address of the phone; of what stands in the header only the proxy's own word counts."""
    told = request.headers.get("X-Forwarded-For", "") if settings.SECURE_PROXY_SSL_HEADER else ""
    return told.rpartition(",")[2].strip() or str(request.META.get("REMOTE_ADDR", ""))
