"""`python -m shopfloor …`: Django's command line, and `calc`, which needs no Django."""

import os
import sys


def main() -> int:
    """Run one command; 0 when it worked."""
    if sys.argv[1:2] == ["calc"]:
        from shopfloor.calc.command import main as calc

        return calc(sys.stdin, sys.stdout)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shopfloor.config.settings")
    from django.core.management import execute_from_command_line

    execute_from_command_line(["shopfloor", *sys.argv[1:]])
    return 0


if __name__ == "__main__":
    sys.exit(main())
