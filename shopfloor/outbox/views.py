"""The outbox: texts to customers that the shop sends from its own phone."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from shopfloor.outbox import services
from shopfloor.outbox.models import Message
from shopfloor.outbox.queries import SHOWN, messages_by_state
from shopfloor.outbox.segments import sms_link, sms_segments
from shopfloor.words import gettext as _
from shopfloor.words import gettext_noop
from shopfloor.workshop.access import DeskRequest, at_the_desk
from shopfloor.workshop.codes import TooLong, qr_svg

PURPOSES = {
    "offer": gettext_noop("A question"),
    "told": gettext_noop("Done within the limit"),
    "pickup": gettext_noop("Ready to collect"),
    "not-to-ride": gettext_noop("Not to ride"),
    "receipt": gettext_noop("A receipt"),
    "moved": gettext_noop("The day moves"),
}


@at_the_desk
@require_safe
def outbox(request: DeskRequest) -> HttpResponse:
    found = messages_by_state(request.user.workshop)
    context: dict[str, Any] = {
        group: [_shown(one) for one in rows] for group, rows in found.items()
    }
    return render(request, "outbox/outbox.html", context | {"at": timezone.now(), "shown": SHOWN})


def _shown(message: Message) -> dict[str, Any]:
    link = message.link
    page = {"offer": "customer-offer", "sheet": "customer-sheet"}
    return {
        "message": message,
        "purpose": _(PURPOSES.get(message.purpose, message.purpose)),
        "sms": sms_link(message.to_e164, message.body).tolerant if message.body else "",
        "units": sms_segments(message.body),
        "page": reverse(page[link.purpose], args=[services.token_of(link)]) if link else "",
    }


@at_the_desk
@require_POST
def sent(request: DeskRequest, message_id: UUID) -> HttpResponse:
    """Somebody says that a text went out, or that it did not after all."""
    message = get_object_or_404(Message.objects.of(request.user.workshop), id=message_id)
    if "undo" in request.POST:
        services.mark_not_sent(message=message)
        messages.success(request, _("The text waits to be sent again."))
        return redirect("outbox")
    try:
        services.mark_sent(message=message, by=request.user, at=timezone.now())
    except services.NotToSend as error:
        messages.error(request, str(error))
    else:
        messages.success(request, _("Noted as sent. If it was not, undo it under “Sent”."))
    return redirect("outbox")


@at_the_desk
@require_safe
def code(request: DeskRequest, message_id: UUID) -> HttpResponse:
    """The text as a QR code: a phone that scans it has it ready to send."""
    waiting = Message.objects.of(request.user.workshop).filter(state="to-send")
    message = get_object_or_404(waiting, id=message_id)
    address = sms_link(message.to_e164, message.body).tolerant
    try:
        drawn = qr_svg(address, sturdy=False)
    except TooLong as error:
        raise Http404(str(error)) from error
    response = HttpResponse(drawn, content_type="image/svg+xml")
    response["Cache-Control"] = "no-store"
    return response
