"""After the fold was mended: read every journal again."""

from typing import Any

from django.core.management.base import BaseCommand

from shopfloor.jobs.folding import fold_anew


class Command(BaseCommand):
    """`python -m shopfloor fold_anew`"""

    help = "Read every job's journal again for what lists and the board show of it."

    def handle(self, *args: Any, **options: Any) -> None:
        """Safe at any time; the workshops go on working meanwhile."""
        self.stdout.write(f"{fold_anew()} jobs read again.")
