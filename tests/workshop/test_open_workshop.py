"""The command that opens a shop with its first manager."""

import pytest
from django.core.management import CommandError, call_command
from django.test import Client

from shopfloor.workshop.models import Person, Workshop

pytestmark = pytest.mark.django_db
WHO = ("The Repair Room", "--manager", "Otto", "--username", "otto")


@pytest.fixture(autouse=True)
def _password(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SHOPFLOOR_FIRST_PASSWORD", "quill-and-headset")


def test_a_shop_opens_and_its_manager_signs_in(capsys: pytest.CaptureFixture[str]) -> None:
    call_command("open_workshop", *WHO, "--region", "GB-SCT", "--currency", "gbp")

    shop = Workshop.objects.get()
    assert (shop.region, shop.currency) == ("GB-SCT", "GBP")
    assert Person.objects.get().role == "manager"
    assert Client().login(username="otto", password="quill-and-headset")
    assert "Otto signs in as otto." in capsys.readouterr().out


@pytest.mark.parametrize(
    ("option", "value", "sentence"),
    [
        ("--region", "XX", "No bank holidays are known"),
        ("--timezone", "Mars/Olympus", "is not a time zone"),
        ("--currency", "pounds", "three letters"),
    ],
)
def test_what_cannot_be_used_is_said_and_nothing_is_opened(
    option: str, value: str, sentence: str
) -> None:
    with pytest.raises(CommandError, match=sentence):
        call_command("open_workshop", *WHO, option, value)

    assert not Workshop.objects.exists()


def test_a_weak_password_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SHOPFLOOR_FIRST_PASSWORD", "short")

    with pytest.raises(CommandError, match="at least 10 characters"):
        call_command("open_workshop", *WHO)


def test_a_name_that_is_taken_opens_no_second_shop() -> None:
    call_command("open_workshop", *WHO)

    with pytest.raises(CommandError, match="is taken"):
        call_command("open_workshop", *WHO)

    assert Workshop.objects.count() == 1
