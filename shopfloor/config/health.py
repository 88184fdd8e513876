"""Is the server up and can it reach its database?"""

from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe


@require_safe
def healthz(request: HttpRequest) -> HttpResponse:
    """200 and “ok” when the database answers."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1")
    return HttpResponse("ok", content_type="text/plain")
