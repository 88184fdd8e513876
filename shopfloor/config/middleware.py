"""Headers that every page of the server carries."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; "
    "font-src 'self'; connect-src 'self'; manifest-src 'self'; worker-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
# A customer's page, and the one that verifies a sheet, runs no script at all: none is allowed.
CUSTOMER_POLICY = (
    "default-src 'none'; style-src 'self'; img-src 'self'; font-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)


def content_security_policy(
    get_response: Callable[[HttpRequest], HttpResponse],
) -> Callable[[HttpRequest], HttpResponse]:
    """Set the policy; customer pages get the stricter one and are never stored or indexed."""

    def add_headers(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        is_customer_page = request.path.startswith(("/a/", "/s/", "/v/"))
        response.headers.setdefault(
            "Content-Security-Policy", CUSTOMER_POLICY if is_customer_page else POLICY
        )
        if is_customer_page:
            response.headers["Cache-Control"] = "no-store"
            response.headers["X-Robots-Tag"] = "noindex, nofollow"
        return response

    return add_headers
