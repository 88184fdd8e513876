"""The settings page: hours, prices, closed days, people, instruments, phones."""

from datetime import date, timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shopfloor.workshop import services
from shopfloor.workshop.forms import SettingsForm
from shopfloor.workshop.models import Person, Workshop
from tests.factories import PASSWORD, make_person
from tests.phone import enrol_phone

pytestmark = pytest.mark.django_db


@pytest.fixture
def mira(otto: Person) -> Person:
    return make_person(workshop=otto.workshop, username="mira", role="mechanic")


def settings_form(shop: Workshop, **facts: str) -> dict[str, str]:
    """The form as the browser sends it back untouched, but for some facts."""
    form = SettingsForm(shop=shop)
    sent = {name: form[name].value() for name in form.fields}
    return {name: str(value)[:40] for name, value in sent.items()} | facts


def save(desk: Client, otto: Person, **facts: str):
    otto.workshop.refresh_from_db()
    return desk.post(reverse("workshop"), settings_form(otto.workshop, **facts))


def test_saving_the_page_untouched_changes_nothing(desk: Client, otto: Person) -> None:
    save(desk, otto)
    before = Workshop.objects.values().get()

    assert save(desk, otto).status_code == 302

    assert Workshop.objects.values().get() == before


def test_hours_and_prices_are_read_as_people_write_them(desk: Client, otto: Person) -> None:
    save(
        desk,
        otto,
        hours_mon="",
        hours_sat="9:30 – 13:00, 14:00-16:30".replace("9:30 ", "09:30"),
        labour_rate_minor="£52",
        price_full="1,250.50",
        vat_rate_bp="5.5 %",
    )

    shop = Workshop.objects.get()
    assert shop.weekly_hours["mon"] == []
    assert shop.weekly_hours["sat"] == [["09:30", "13:00"], ["14:00", "16:30"]]
    assert shop.labour_rate_minor == 5200
    assert shop.service_prices["full"] == 125050
    assert shop.vat_rate_bp == 550


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("hours_tue", "nine to five", "“nine to five” is not a span of hours."),
        ("labour_rate_minor", "lots", "“lots” is not an amount we can read."),
        ("vat_rate_bp", "120", "“120” is not a percentage."),
        ("timezone", "Mars/Olympus", "Choose one of the list."),
        ("name", "", "Fill this in."),
        ("name", "x" * 81, "Write at most 80 letters; there are 81."),
        ("region", "XX", "Choose one of the list."),
        ("quiet_start", "soon", "Write the time like 16:30."),
        ("email", "x", "Write the address like name@example.org."),
        ("quiet_end", "08:00", "later than the morning hour"),
    ],
)
def test_what_cannot_be_read_is_said_and_kept(
    desk: Client, otto: Person, field: str, typed: str, sentence: str
) -> None:
    answer = save(desk, otto, **{field: typed, "address": "3 Kept Lane"})

    assert answer.status_code == 422
    assert sentence in answer.text
    assert "3 Kept Lane" in answer.text
    assert Workshop.objects.get().address == ""


def test_a_shop_that_is_never_open_is_refused(desk: Client, otto: Person) -> None:
    answer = save(desk, otto, **{f"hours_{day}": "" for day in services.DAYS})

    assert answer.status_code == 422
    assert "Open on at least one day" in answer.text


def test_a_closed_day_is_noted_and_taken_back(desk: Client, otto: Person) -> None:
    on = (timezone.localdate() + timedelta(days=20)).isoformat()
    desk.post(reverse("workshop-closures"), {"on": on, "reason": "Stock-taking", "hours": ""})
    assert "Stock-taking" in desk.get(reverse("workshop")).text

    desk.post(reverse("workshop-reopen", args=[date.fromisoformat(on)]))

    assert not otto.workshop.closures.exists()


def test_a_closed_day_that_cannot_be_read_keeps_its_reason(desk: Client) -> None:
    form = {"on": "soon", "reason": "Stock-taking", "hours": "late"}

    answer = desk.post(reverse("workshop-closures"), form)

    assert answer.status_code == 422
    assert 'value="Stock-taking"' in answer.text
    assert "“late” is not a span of hours." in answer.text


def test_coming_bank_holidays_are_named(desk: Client) -> None:
    assert "Christmas Day" in desk.get(reverse("workshop")).text


def test_somebody_new_can_sign_in(desk: Client, otto: Person) -> None:
    form = {"name": "Ned", "username": "ned", "role": "mechanic", "password": "bench-and-vice"}

    desk.post(reverse("workshop-people"), form)

    assert Client().login(username="ned", password="bench-and-vice")
    assert Person.objects.get(username="ned").workshop == otto.workshop


@pytest.mark.parametrize(
    ("facts", "sentence"),
    [
        ({"username": "Otto"}, "“Otto” is taken."),
        ({"password": "short"}, "at least 10 characters"),
        ({"username": "ned the second"}, "letters, digits and hyphens"),
    ],
)
def test_somebody_new_who_cannot_be_added_is_kept_on_the_form(
    desk: Client, facts: dict[str, str], sentence: str
) -> None:
    form = {"name": "Ned", "username": "ned", "role": "mechanic", "password": "bench-and-vice"}

    answer = desk.post(reverse("workshop-people"), form | facts)

    assert answer.status_code == 422
    assert sentence in answer.text
    assert 'value="Ned"' in answer.text


def test_who_leaves_cannot_sign_in_and_neither_can_the_phone(desk: Client, mira: Person) -> None:
    phone = enrol_phone(person=mira)

    desk.post(reverse("workshop-person", args=[mira.id]), {"leave": "1"})

    assert not Client().login(username="mira", password=PASSWORD)
    assert phone.post(phone.ask()).status_code == 401


def test_who_comes_back_can_sign_in_again(desk: Client, mira: Person) -> None:
    address = reverse("workshop-person", args=[mira.id])
    desk.post(address, {"leave": "1"})
    desk.post(address, {"back": "1"})

    assert Client().login(username="mira", password=PASSWORD)


def test_the_last_manager_stays(desk: Client, otto: Person) -> None:
    answer = desk.post(reverse("workshop-person", args=[otto.id]), {"leave": "1"}, follow=True)

    assert "Otto is the only manager." in answer.text
    assert Person.objects.get(pk=otto.pk).is_active


def test_a_new_password_keeps_its_owner_signed_in(desk: Client, otto: Person) -> None:
    address = reverse("workshop-person", args=[otto.id])

    weak = desk.post(address, {"password": "short"}, follow=True)
    desk.post(address, {"password": "quill-and-headset"})

    assert "at least 10 characters" in weak.text
    assert Client().login(username="otto", password="quill-and-headset")
    assert desk.get(reverse("board")).status_code == 200


def test_an_instrument_is_added_and_changed(desk: Client, otto: Person) -> None:
    form = {
        "name": "Click wrench 2-14",
        "kind": "torque",
        "unit": "N·m",
        "range_min": "2",
        "range_max": "14",
        "class_pct": "6",
    }
    desk.post(reverse("workshop-instruments"), form)
    tool = otto.workshop.instruments.get()

    prefix = str(tool.id)[:8]
    changed = {f"{prefix}-{name}": value for name, value in (form | {"class_pct": "4"}).items()}
    desk.post(reverse("workshop-instrument", args=[tool.id]), changed)

    tool.refresh_from_db()
    assert (tool.range_max, tool.class_pct) == (14.0, 4.0)


def test_a_range_the_wrong_way_round_is_refused(desk: Client, otto: Person) -> None:
    form = {"name": "Wrench", "kind": "torque", "unit": "N·m", "range_min": "14", "range_max": "2"}

    answer = desk.post(reverse("workshop-instruments"), form)

    assert answer.status_code == 422
    assert "must be above the lower one" in answer.text
    assert not otto.workshop.instruments.exists()
