"""
The bench's two files that come from the server: the service worker, and the page that installs
it. From then on the worker answers everything under /bench/ on the phone.
"""

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.csrf import ensure_csrf_cookie
from django.views.decorators.http import require_safe

BUILD = settings.ROOT / "shopfloor" / "static" / "bench"


@require_safe
def worker(request: HttpRequest) -> HttpResponse:
    """The service worker; the browser must ask for a newer one each time."""
    built = BUILD / "worker.js"
    if not built.exists():
        raise Http404("The bench is not built yet. Run `make build`.")
    response = HttpResponse(built.read_bytes(), content_type="text/javascript; charset=utf-8")
    response["Cache-Control"] = "no-cache"
    response["Service-Worker-Allowed"] = "/bench/"
    return response


@require_safe
@ensure_csrf_cookie
def install(request: HttpRequest, path: str = "") -> HttpResponse:
    """
    One page for every address under /bench/ until the worker is installed. It holds nothing of
    the workshop: a phone that is to be made known by a code has nobody signed in.
    """
    response = render(request, "sync/install.html")
    response["Cache-Control"] = "no-store"
    return response
