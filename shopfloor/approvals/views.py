"""
The customer's page: no account, no script. Reading decides nothing; only the last form does,
and it carries the version that was read.
"""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.crypto import constant_time_compare, salted_hmac
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods, require_safe

from shopfloor.approvals import answering
from shopfloor.approvals.models import Offer
from shopfloor.approvals.shown import offer_context
from shopfloor.jobs.photos import PhotoNotHere
from shopfloor.jobs.shortcuts import photo_response
from shopfloor.outbox.models import Link
from shopfloor.outbox.services import LinkGone, find_link

Page = Callable[..., HttpResponse]


def by_link(page: Page) -> Page:
    """Give the page the offer behind the link, or show the one page for all bad links."""

    @wraps(page)
    def find_then_show(request: HttpRequest, token: str, **rest: str) -> HttpResponse:
        found = _find(token)
        return _gone(request) if found is None else page(request, token, found, **rest)

    return find_then_show


def by_form(page: Page) -> Page:
    """Only a form that was sent, in time, gets further than the offer itself."""

    @wraps(page)
    def ask_first(request: HttpRequest, token: str, found: Offer) -> HttpResponse:
        if request.method != "POST" or answering.is_past(found, timezone.now()):
            return redirect("customer-offer", token=token)
        return page(request, token, found)

    return ask_first


@require_safe
@by_link
def offer(request: HttpRequest, token: str, found: Offer) -> HttpResponse:
    """What was found, what it costs, what it does to the ready day; or the receipt."""
    return _page(request, token, found, {})


@csrf_exempt  # The secret in the address is the right to answer; cookies may be blocked here.
@require_http_methods(["GET", "HEAD", "POST"])
@by_link
@by_form
def check(request: HttpRequest, token: str, found: Offer) -> HttpResponse:
    """Show what is about to be agreed; nothing is decided yet."""
    decisions = _decisions(request, found)
    if "change" in request.POST:
        return _page(request, token, found, decisions)
    try:
        answering.check_answer(offer=found, version=_version(request), decisions=decisions)
    except answering.Unanswered as error:
        return _page(request, token, found, decisions, missing=error.lines, status=422)
    except answering.Changed:
        return _page(request, token, found, decisions, changed=True, status=409)
    except answering.NotOpen:
        return redirect("customer-offer", token=token)
    return render(request, "approvals/check.html", _check_context(token, found, decisions))


@csrf_exempt  # See check.
@require_http_methods(["GET", "HEAD", "POST"])
@by_link
@by_form
def answer(request: HttpRequest, token: str, found: Offer) -> HttpResponse:
    """Take the answer, once; a second identical form gets the same receipt."""
    decisions = _decisions(request, found)
    if _is_forged(request, token, found):
        return _page(request, token, found, decisions, changed=True, status=409)
    try:
        answering.answer_offer(
            offer=found,
            version=_version(request),
            decisions=decisions,
            channel="link",
            words=found.job.customer.first_name,
            at=timezone.now(),
        )
    except answering.NotOpen:
        pass
    except (answering.Changed, answering.Unanswered):
        return _page(request, token, found, decisions, changed=True, status=409)
    return redirect("customer-offer", token=token)


@require_safe
@by_link
def photo(request: HttpRequest, token: str, found: Offer, name: str) -> HttpResponse:
    """A photo of one of the offer's lines."""
    if not found.lines.filter(photo=name).exists():
        return _gone(request)
    try:
        return photo_response(request, found.job.workshop, name)
    except PhotoNotHere:
        return _gone(request)


def _find(token: str) -> Offer | None:
    try:
        link: Link = find_link(token=token, purpose="offer", at=timezone.now())
    except LinkGone:
        return None
    related = ("job__workshop", "job__bike", "job__customer")
    offers = Offer.objects.select_related(*related).filter(job=link.job)
    return offers.filter(pk=link.subject).first() if link.subject else None


def _gone(request: HttpRequest) -> HttpResponse:
    """One page for unknown, mistyped, expired and revoked links alike."""
    return render(request, "approvals/gone.html", status=404)


def _version(request: HttpRequest) -> int:
    text = request.POST.get("version", "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else 0


def _decisions(request: HttpRequest, found: Offer) -> dict[str, str]:
    lines = [str(pk) for pk in found.lines.values_list("pk", flat=True)]
    given = {line: request.POST.get(f"line-{line}", "") for line in lines}
    return {line: choice for line, choice in given.items() if choice in ("yes", "no")}


def nonce_of(token: str, version: int) -> str:
    """Binds the last form to this link and version."""
    return salted_hmac("shopfloor.approvals.form", f"{token}:{version}").hexdigest()


def _is_forged(request: HttpRequest, token: str, found: Offer) -> bool:
    right = nonce_of(token, found.version)
    is_foreign = request.headers.get("Sec-Fetch-Site", "same-origin") == "cross-site"
    return is_foreign or not constant_time_compare(request.POST.get("nonce", ""), right)


def _page(
    request: HttpRequest,
    token: str,
    found: Offer,
    decisions: dict[str, str],
    *,
    missing: list[str] | None = None,
    changed: bool = False,
    status: int = 200,
) -> HttpResponse:
    context = offer_context(token, found, decisions, missing or [], at=timezone.now())
    if found.state == "answered":
        return render(request, "approvals/receipt.html", context)
    closed = found.job.place in answering.CLOSED
    context["past"] = not closed and answering.is_past(found, timezone.now())
    if found.state != "open" or context["past"] or closed:
        return render(request, "approvals/withdrawn.html", context)
    context["changed"] = changed
    return render(request, "approvals/offer.html", context, status=status)


def _check_context(token: str, found: Offer, decisions: dict[str, str]) -> dict[str, Any]:
    context = offer_context(token, found, decisions, [], at=timezone.now())
    return context | {"version": found.version, "nonce": nonce_of(token, found.version)}
