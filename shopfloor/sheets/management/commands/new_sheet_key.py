"""Replace the key that signs a workshop's service sheets."""

from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from shopfloor.sheets.keys import new_key
from shopfloor.workshop.models import Workshop


class Command(BaseCommand):
    """`python -m shopfloor new_sheet_key`"""

    help = (
        "From now on another key signs; sheets that are signed already can be verified as before."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        """One new key for each workshop of this server."""
        for workshop in Workshop.objects.all():
            key = new_key(workshop=workshop, at=timezone.now())
            self.stdout.write(f"{workshop.name}: signs with {key.public_hex} from now on.")
