"""Bikes that were taken in at the stand without signal, sent when there is some."""

from typing import Any
from uuid import UUID

from django.http import HttpResponse, JsonResponse
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import api_view
from rest_framework.request import Request

from shopfloor.intake.services import Intake
from shopfloor.intake.walk_ins import WalkIn, WalkInRefused, take_in_walk_in
from shopfloor.journal.entry import MalformedEntry, check_json
from shopfloor.journal.permissions import NotAllowed
from shopfloor.sync.serializers import ProblemSerializer
from shopfloor.sync.speaking import BEARER, BadRequest, device_of, not_signed_in, object_of, problem
from shopfloor.sync.walk_in_serializers import WalkInAnswerSerializer, WalkInSerializer
from shopfloor.trade.fields import FIELDS
from shopfloor.words import gettext as _
from shopfloor.words import gettext_noop
from shopfloor.workshop.models import Person, Workshop
from shopfloor.workshop.queries import UnknownDevice

# What can be typed too long or left out on the phone; the rest is made by its program.
TYPED = {
    "customer_name": gettext_noop("Write the customer's name in at most 80 letters."),
    "phone": gettext_noop("Write the telephone number in at most 80 signs."),
    "bike_words": gettext_noop("Describe the bike in at most 120 letters."),
    "says": gettext_noop("Write what the rider says in at most 2000 letters."),
    "go_ahead_minor": gettext_noop("The amount that may be spent cannot be used. Write it anew."),
}


@extend_schema(
    request=WalkInSerializer,
    responses={
        200: WalkInAnswerSerializer,
        201: WalkInAnswerSerializer,
        400: ProblemSerializer,
        401: ProblemSerializer,
        422: ProblemSerializer,
    },
    auth=BEARER,  # type: ignore[arg-type]
    operation_id="walk_in",
)
@api_view(["PUT"])
def walk_in(request: Request, job_id: UUID) -> HttpResponse:
    """Open the job of a walk-in. Safe to repeat; the first time counts."""
    try:
        workshop = device_of(request).workshop
        return _open(workshop, job_id, _read(request))
    except UnknownDevice as error:
        return not_signed_in(error)
    except BadRequest as error:
        return problem("bad-request", error, 400)
    except WalkInRefused as error:
        return problem(error.code, error, 422)
    except NotAllowed as error:
        return problem("not-allowed", error, 422)


def _read(request: Request) -> dict[str, Any]:
    data = object_of(request)
    try:
        check_json(data)
    except MalformedEntry as error:
        raise WalkInRefused(
            error.code, _("Something in it cannot be kept. Write it anew.")
        ) from error
    form = WalkInSerializer(data=data)
    if not form.is_valid():
        said = [_(sentence) for field, sentence in TYPED.items() if field in form.errors]
        rest = ", ".join(str(field) for field in form.errors if field not in TYPED)
        if rest:
            said.append(_("The bench on this phone did not say: {fields}.").format(fields=rest))
        raise WalkInRefused("not-clear", " ".join(said))
    return dict(form.validated_data)


def _open(workshop: Workshop, job_id: UUID, asked: dict[str, Any]) -> HttpResponse:
    job, is_new = take_in_walk_in(
        workshop=workshop,
        intake=_intake(workshop, asked),
        walk_in=WalkIn(
            job_id=job_id,
            opened_at=asked["opened_at"],
            catalogue=asked["catalogue"],
            steps=asked["steps"],
        ),
        by=_person(workshop, asked["by"]),
        at=timezone.now(),
    )
    answer = {"job": str(job.id), "number": job.tag}
    return JsonResponse(answer, status=201 if is_new else 200)


def _person(workshop: Workshop, person_id: UUID) -> Person:
    person = workshop.people.filter(id=person_id).first()
    if person is None:
        sentence = _("Nobody of this workshop took it in. Choose who works, and send it again.")
        raise WalkInRefused("unknown-person", sentence)
    return person


def _intake(workshop: Workshop, asked: dict[str, Any]) -> Intake:
    return Intake(
        customer_name=asked["customer_name"],
        phone=asked["phone"],
        email="",
        bike_words=asked["bike_words"],
        frame_number="",
        traits={field.key: asked["traits"].get(field.key) for field in FIELDS},
        service=asked["service"],
        says=asked["says"],
        go_ahead_minor=asked["go_ahead_minor"],
        price_minor=int(workshop.service_prices.get(asked["service"], 0)),
    )
