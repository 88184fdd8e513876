"""Load the demo shop, once."""

from typing import Any

from django.core.management.base import BaseCommand
from django.db import transaction
from django.utils import timezone

from shopfloor.demo.seed import PASSWORD, demo_name, seed_demo, what_to_try
from shopfloor.workshop.models import Person, Workshop


class Command(BaseCommand):
    """`python -m shopfloor seed_demo`"""

    help = "Load the demo shop into an empty database; does nothing where it is loaded already."

    def handle(self, *args: Any, **options: Any) -> None:
        """Seed when there is no workshop yet, then say who can sign in and what to try."""
        if not Workshop.objects.exists():
            self.stdout.write("Loading the demo shop. This takes a few seconds.")
            with transaction.atomic():
                seed_demo(now=timezone.now())
        workshop = Workshop.objects.filter(name=demo_name()).first()
        if workshop is None:
            self.stdout.write("This database holds a shop of its own; the demo is not loaded.")
            return
        for person in Person.objects.filter(workshop=workshop).order_by("role", "name"):
            self.stdout.write(
                f"  {person.username:8} {person.get_role_display():9} password: {PASSWORD}"
            )
        for line in what_to_try(workshop):
            self.stdout.write(f"  {line}")
