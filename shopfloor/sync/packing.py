"""Files that change with a new version only: packed as the browser likes, and not sent twice."""

from collections.abc import Callable, Mapping

from django.http import HttpRequest, HttpResponse
from django.utils.cache import get_conditional_response

PLAIN = "identity"


def packed_file(
    request: HttpRequest,
    bodies: Mapping[str, Callable[[], bytes]],
    *,
    content_type: str,
    tag: str,
    caching: str,
) -> HttpResponse:
    """
    One of the bodies, or 304 when the browser has it.

    bodies  by encoding, the best first; the last is PLAIN
    tag     names the content; a strong ETag names the very bytes, so each encoding has its own
    """
    wanted = accepted(request.headers.get("Accept-Encoding", ""))
    encoding = next(name for name in bodies if name in wanted or name == PLAIN)
    headers = {"Cache-Control": caching, "Vary": "Accept-Encoding", "ETag": f'"{tag}"'}
    if encoding != PLAIN:
        headers |= {"Content-Encoding": encoding, "ETag": f'"{tag}-{encoding}"'}
    response = HttpResponse(bodies[encoding](), content_type=content_type, headers=headers)
    known = get_conditional_response(request, etag=headers["ETag"], response=response)
    return response if known is None else known


def accepted(header: str) -> set[str]:
    """The encodings that an Accept-Encoding header allows by name."""
    offers = [offer.replace(" ", "").lower().partition(";q=") for offer in header.split(",")]
    return {name for name, _q, weight in offers if weight.strip("0.") or not _q}
