"""Routes by their hash: jobs of like bikes share one, and a phone fetches each only once."""

from collections.abc import Iterable, Mapping, Sequence
from hashlib import sha256
from typing import Any

import rfc8785
from django.db.models import Min

from shopfloor.jobs.models import Job
from shopfloor.workshop.models import Workshop


def route_sha(route: Sequence[Mapping[str, Any]]) -> str:
    """The name of a route: SHA-256 of its steps as canonical JSON (RFC 8785)."""
    return sha256(rfc8785.dumps([dict(step) for step in route])).hexdigest()


def routes_by_sha(
    *, workshop: Workshop, shas: Iterable[str]
) -> tuple[list[dict[str, Any]], dict[str, list[int]]]:
    """
    The workshop's routes with these names: every step once, and each route as places in that
    list. A name that no job has is left out.
    """
    named = Job.objects.of(workshop).filter(route_sha__in=set(shas))
    first = named.values("route_sha").annotate(first=Min("number")).values("first")
    steps: dict[bytes, int] = {}
    routes = {}
    rows = Job.objects.of(workshop).filter(number__in=first).values_list("route_sha", "route")
    listed: list[dict[str, Any]] = []
    for sha, route in rows.iterator(chunk_size=20):
        routes[sha] = [_place(step, steps, listed) for step in route]
    return listed, routes


def _place(step: dict[str, Any], steps: dict[bytes, int], listed: list[dict[str, Any]]) -> int:
    text = rfc8785.dumps(step)
    if text not in steps:
        steps[text] = len(listed)
        listed.append(step)
    return steps[text]
