"""python -m shopfloor open_workshop: set up a shop and the first person who may run it."""

import getpass
import os
from argparse import ArgumentParser
from typing import Any
from zoneinfo import available_timezones

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.db import transaction

from shopfloor.planning.bank_holidays import REGIONS
from shopfloor.workshop.models import Role
from shopfloor.workshop.services import UsernameTaken, add_person, open_workshop

PASSWORD_VARIABLE = "SHOPFLOOR_FIRST_PASSWORD"  # noqa: S105


class Command(BaseCommand):
    help = (
        "Open a workshop with its first manager. The password is asked for, or read from "
        f"{PASSWORD_VARIABLE}."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("name", help="the workshop's name, as customers read it")
        parser.add_argument("--manager", required=True, help="the manager's name")
        parser.add_argument("--username", required=True, help="the manager signs in as")
        parser.add_argument("--phone", default="", help="the workshop's telephone number")
        parser.add_argument("--region", default="GB-ENG", help="bank holidays of, such as GB-ENG")
        parser.add_argument("--timezone", default="Europe/London")
        parser.add_argument(
            "--currency", default="GBP", help="three letters; cannot be changed later"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        facts = {field: options[field] for field in ("phone", "region", "timezone", "currency")}
        facts["currency"] = facts["currency"].upper()
        _check(facts)
        password = _password()
        try:
            with transaction.atomic():
                shop = open_workshop(name=options["name"], **facts)
                add_person(
                    workshop=shop,
                    username=options["username"],
                    name=options["manager"],
                    role=Role.MANAGER.value,
                    password=password,
                )
        except UsernameTaken as error:
            raise CommandError(str(error)) from error
        self.stdout.write(
            f"{shop.name} is open. {options['manager']} signs in as {options['username']}."
        )


def _check(facts: dict[str, str]) -> None:
    if facts["region"] not in REGIONS:
        known = ", ".join(sorted(REGIONS))
        raise CommandError(f"No bank holidays are known for “{facts['region']}”. Known: {known}.")
    if facts["timezone"] not in available_timezones():
        raise CommandError(
            f"“{facts['timezone']}” is not a time zone. Write it like Europe/London."
        )
    if len(facts["currency"]) != 3 or not facts["currency"].isalpha():
        raise CommandError("A currency has three letters, like GBP.")


def _password() -> str:
    password = os.environ.get(PASSWORD_VARIABLE) or getpass.getpass("Password for the manager: ")
    try:
        validate_password(password)
    except ValidationError as error:
        raise CommandError(" ".join(error.messages)) from error
    return password
