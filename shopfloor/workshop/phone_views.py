"""The phones at the stand: what they told last, adding one by a code, and letting one go."""

from uuid import UUID

from django.conf import settings
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shopfloor.words import gettext as _
from shopfloor.workshop import enrolment, services
from shopfloor.workshop.access import DeskRequest, for_managers
from shopfloor.workshop.codes import qr_svg
from shopfloor.workshop.forms import AddPhoneForm
from shopfloor.workshop.models import Device, DeviceKind, EnrolCode
from shopfloor.workshop.phones import phones_of
from shopfloor.workshop.templatetags.assets import built_version


@for_managers
@require_http_methods(["GET", "HEAD", "POST"])
def phones(request: DeskRequest) -> HttpResponse:
    """The list; posting makes a code for one more."""
    shop = request.user.workshop
    form = AddPhoneForm(request.POST if request.method == "POST" else None, shop=shop)
    if not form.is_valid():
        found = phones_of(shop)
        context = {
            "form": form,
            "working": [one for one in found if not one.device.revoked_at],
            "gone": [one for one in found if one.device.revoked_at],
            "at": timezone.now(),
            "version": built_version(),
        }
        status = 422 if form.errors else 200
        return render(request, "workshop/phones.html", context, status=status)
    code = enrolment.make_code(
        workshop=shop, by=request.user, at=timezone.now(), **form.cleaned_data
    )
    return redirect("phone-code", code.id)


@for_managers
@require_safe
@never_cache
def code(request: DeskRequest, code_id: UUID) -> HttpResponse:
    """The code on the screen; asked for again every few seconds until the phone has come."""
    shown = get_object_or_404(
        EnrolCode.objects.select_related("device", "replaces"),
        workshop=request.user.workshop,
        id=code_id,
    )
    at = timezone.now()
    is_open = shown.device is None and shown.expires_at > at
    context = {
        "code": shown,
        "is_open": is_open,
        "minutes_left": max(1, round((shown.expires_at - at).total_seconds() / 60)),
        "cannot_reach": not settings.SECURE and is_open,
        "base_url": settings.BASE_URL,
    }
    if is_open:
        address = enrolment.address_of(shown)
        # Drawn by us from an address of our own: there is nothing in it to escape.
        picture = mark_safe(qr_svg(address, sturdy=False))  # noqa: S308
        context |= {"address": address, "picture": picture, "typed": enrolment.grouped(shown)}
    page = "workshop/_code.html" if request.htmx else "workshop/code.html"
    return render(request, page, context)


@for_managers
@require_POST
def sign_out(request: DeskRequest, device_id: UUID) -> HttpResponse:
    device = _phone_or_404(request, device_id)
    services.revoke_device(device=device, at=timezone.now())
    messages.success(
        request,
        _(
            "{name} is signed out. What it has not sent yet stays on it until it is added again."
        ).format(name=device.name),
    )
    return redirect("phones")


@for_managers
@require_POST
def write_off(request: DeskRequest, device_id: UUID) -> HttpResponse:
    device = _phone_or_404(request, device_id)
    try:
        services.write_off(device=device, at=timezone.now())
    except services.StillSignedIn as error:
        messages.error(request, str(error))
        return redirect("phones")
    messages.success(
        request,
        _(
            "Nobody waits any more for what {name} kept. Look over the bikes it worked on before"
            " you release them."
        ).format(name=device.name),
    )
    return redirect("phones")


def _phone_or_404(request: DeskRequest, device_id: UUID) -> Device:
    phones_here = request.user.workshop.devices.filter(kind=DeviceKind.PHONE)
    return get_object_or_404(phones_here, id=device_id)
