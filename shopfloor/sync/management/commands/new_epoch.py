"""After a restore from backup: let every phone offer its entries again."""

from typing import Any

from django.core.management.base import BaseCommand

from shopfloor.workshop.devices import begin_epoch
from shopfloor.workshop.models import Workshop


class Command(BaseCommand):
    """`python -m shopfloor new_epoch`"""

    help = "Run once after a database was restored from a backup."

    def handle(self, *args: Any, **options: Any) -> None:
        """A new epoch makes phones send everything they wrote and read from the beginning."""
        for workshop in Workshop.objects.all():
            begin_epoch(workshop=workshop)
            self.stdout.write(f"{workshop.name}: phones will offer their entries again.")
