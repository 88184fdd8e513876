"""What page and paper say of a signed version: number, code, what changed, what is newer."""

import json
from collections.abc import Callable, Sequence
from typing import Any

from django.conf import settings

from shopfloor.jobs.models import Job
from shopfloor.sheets import words
from shopfloor.sheets.codes import grouped
from shopfloor.sheets.models import SheetVersion
from shopfloor.workshop.codes import qr_svg

Proof = dict[str, Any]


def proof_of(version: SheetVersion, zone: str) -> Proof:
    """Everything that the sheet itself carries, also on paper."""
    address = check_address(version)
    return {
        "number": version.number,
        "code": grouped(version.code),
        "url": address,
        "typed": f"{settings.BASE_URL.partition('://')[2]}/v",
        "signed": words.moment(version.signed_at, zone),
        "changes": version.changes,
        "qr": qr_svg(address, sturdy=True),
    }


def check_address(version: SheetVersion) -> str:
    """Where anybody can verify it."""
    return f"{settings.BASE_URL}/v/{version.code}/"


def content_of(version: SheetVersion) -> dict[str, Any] | None:
    """What it says, exactly as it was signed; None once it was blanked."""
    found: dict[str, Any] | None = json.loads(version.content) if version.content else None
    return found


def other_versions(job: Job, address: Callable[[int], str]) -> Sequence[dict[str, Any]]:
    """Every version of the job, the newest first, with where it can be read."""
    zone = job.workshop.timezone
    return [
        {
            "number": version.number,
            "signed": words.moment(version.signed_at, zone),
            "changes": version.changes,
            "url": address(version.number),
        }
        for version in SheetVersion.objects.filter(job=job).order_by("-number")
    ]
