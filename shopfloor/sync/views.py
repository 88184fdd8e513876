"""
The bench's two files that come from the server: the service worker, and the page that installs
it. From then on the worker answers everything under /bench/ on the phone.
"""

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.csrf import ensure_csrf_cookie
from django.views.decorators.http import require_safe

from shopfloor.sync.packing import PLAIN, packed_file
from shopfloor.workshop.templatetags.assets import built_version

BUILD = settings.ROOT / "shopfloor" / "static" / "bench"
# As the build leaves it, the smallest first.
WORKER = {"br": "worker.js.br", "gzip": "worker.js.gz", PLAIN: "worker.js"}


@require_safe
def worker(request: HttpRequest) -> HttpResponse:
    """The service worker; the browser must ask for a newer one each time."""
    version = built_version()
    if not version:
        # As plain text: a page of ours could not be drawn without the build either.
        sentence = "The bench is not built yet. Run `make build`."
        return HttpResponse(sentence, status=404, content_type="text/plain")
    response = packed_file(
        request,
        {encoding: (BUILD / name).read_bytes for encoding, name in WORKER.items()},
        content_type="text/javascript; charset=utf-8",
        tag=version,
        caching="no-cache",
    )
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
