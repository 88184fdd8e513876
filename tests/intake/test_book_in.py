"""Booking a bike in: with script, without it, and with answers that cannot be used."""

import re

import pytest
from django.test import Client
from django.urls import reverse

from shopfloor.customers.models import Bike, Customer
from shopfloor.intake.forms import BookInForm
from shopfloor.jobs.models import Job
from shopfloor.trade.fields import FIELDS
from shopfloor.trade.traits import usual_traits
from shopfloor.workshop.models import Person
from shopfloor.workshop.services import close_on
from tests.factories import NOON, take_in


def traits_form(kind: str, **facts: str) -> dict[str, str]:
    usual = {
        key: "on" if value is True else str(value)
        for key, value in usual_traits(kind).items()
        if value is not False
    }
    return usual | {"kind": kind, "kind_shown": kind} | facts


def form(**facts: str) -> dict[str, str]:
    usual = {
        "phone": "07700 900123",
        "customer_name": "Jana Field",
        "bike_words": "moss-green city bike, 8-speed hub",
        "bike_id": "new",
        "bike_shown": "new",
        "service": "standard",
        "says": "The front light flickers.",
        "go_ahead": "20",
    }
    return traits_form("city") | usual | facts


def is_checked(text: str, name: str, value: str) -> bool:
    tags = re.findall(r"<input[^>]+>", text)
    wanted = (f'name="{name}"', f'value="{value}"', "checked")
    return any(all(part in tag for part in wanted) for tag in tags)


def book(desk: Client, **facts: str) -> Job:
    answer = desk.post(reverse("book-in"), form(**facts))
    assert answer.status_code == 302, answer.text
    return Job.objects.latest("number")


def test_a_bike_is_taken_in_with_route_promise_and_limit(desk: Client) -> None:
    job = book(desk)

    assert job.customer.phone_e164 == "+447700900123"
    assert job.customer.phone_typed == "07700 900123"
    assert (job.price_minor, job.go_ahead_minor) == (9500, 2000)
    assert job.bike.traits["gears"] == "hub"
    assert len(job.route) > 10
    assert job.promised_at is not None


def test_after_saving_one_is_led_to_the_job_and_its_tag(desk: Client) -> None:
    answer = desk.post(reverse("book-in"), form(), follow=True)

    job = Job.objects.get()
    assert answer.redirect_chain == [(f"/jobs/{job.id}/", 302)]
    assert reverse("job-tag", args=[job.id]) in answer.text
    assert f"{job.tag} is taken in." in answer.text


def test_the_promise_is_the_day_that_was_shown(desk: Client) -> None:
    shown = desk.post(reverse("book-in-ready"), form()).text

    job = book(desk)

    assert job.promised_at is not None
    assert f"{job.promised_at:%A %-d %B}" in shown
    assert "£95.00, VAT included." in shown


def test_a_closed_day_moves_the_promise_and_is_named(desk: Client, otto: Person) -> None:
    for day in (3, 4):
        on = NOON.date().replace(day=day)
        close_on(workshop=otto.workshop, on=on, reason="Stock-taking")

    shown = desk.post(reverse("book-in-ready"), form(service="full")).text

    assert "Thursday 5 March" in shown
    assert "Tuesday 3 March is closed: Stock-taking." in shown


def test_the_minutes_follow_the_traits(desk: Client) -> None:
    city = desk.post(reverse("book-in-ready"), form()).text
    mtb = desk.post(reverse("book-in-ready"), form() | traits_form("mtb")).text

    assert city != mtb
    assert "about" in city


def test_before_a_kind_is_chosen_nothing_is_promised(desk: Client) -> None:
    assert "Choose the kind of bike" in desk.get(reverse("book-in")).text


def test_a_known_number_brings_name_and_bikes(desk: Client, otto: Person) -> None:
    job = take_in(by=otto)

    text = desk.post(reverse("book-in-customer"), {"phone": "+44 7700 900123"}).text

    assert 'value="Jana Field"' in text
    assert f'value="{job.bike_id}"' in text


def test_a_name_already_typed_is_not_replaced(desk: Client, otto: Person) -> None:
    take_in(by=otto)

    text = desk.post(
        reverse("book-in-customer"), {"phone": "07700 900123", "customer_name": "Jana B. Field"}
    ).text

    assert 'value="Jana B. Field"' in text


def test_a_known_bike_brings_words_and_traits(desk: Client, otto: Person) -> None:
    job = take_in(by=otto, traits={"kind": "mtb", "carbon": True}, frame_number="WX 17")

    text = desk.post(
        reverse("book-in-bike"), {"bike_id": str(job.bike_id), "bike_shown": "new"}
    ).text

    assert job.bike.words in text
    assert 'value="WX 17"' in text
    assert 'name="carbon" id="id_carbon" checked' in text
    assert '<option value="12" selected>' in text


def test_a_second_visit_uses_the_same_customer_and_bike(desk: Client, otto: Person) -> None:
    first = take_in(by=otto)

    book(desk, bike_id=str(first.bike_id), bike_shown=str(first.bike_id), bike_words="green one")

    assert Customer.objects.count() == 1
    assert Bike.objects.get().words == "green one"
    assert Job.objects.count() == 2


def test_another_bike_starts_with_empty_words(desk: Client, otto: Person) -> None:
    job = take_in(by=otto)

    text = desk.post(
        reverse("book-in-bike"),
        form(bike_id="new", bike_shown=str(job.bike_id)),
    ).text

    assert "moss-green" not in text


def test_a_kind_chosen_without_script_is_shown_before_it_is_saved(desk: Client) -> None:
    chosen = {key: value for key, value in form().items() if key not in usual_traits("city")}

    answer = desk.post(reverse("book-in"), chosen | {"kind": "city", "kind_shown": ""})

    assert answer.status_code == 200
    assert "Nothing is saved yet." in answer.text
    assert is_checked(answer.text, "brakes", "drum")
    assert not Job.objects.exists()


def test_looking_again_complains_about_nothing(desk: Client) -> None:
    answer = desk.post(reverse("book-in"), {"look": "1", "kind": "city", "kind_shown": "city"})

    assert answer.status_code == 200
    assert 'class="error"' not in answer.text
    assert "VAT included" in answer.text


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("phone", "ring me", ""),
        ("phone", "", "Write the telephone number"),
        ("customer_name", " ", "Write the customer&#x27;s name."),
        ("bike_words", "", "Describe the bike"),
        ("service", "deluxe", "Choose a service."),
        ("go_ahead", "a lot", "“a lot” is not an amount we can read."),
        ("go_ahead", "-5", "“-5” is not an amount we can read."),
        ("email", "jana at home", "This is not an email address."),
        ("brakes", "anchor", "Choose one of these."),
        ("kind", "", "Choose one."),
    ],
)
def test_what_cannot_be_used_is_said_beside_its_field(
    desk: Client, field: str, typed: str, sentence: str
) -> None:
    shown = {"kind_shown": typed} if field == "kind" else {}

    answer = desk.post(reverse("book-in"), form(**{field: typed}, **shown))

    assert answer.status_code == 422
    assert f'id="id_{field}_error">{sentence}' in answer.text
    assert "The job is not taken in yet" in answer.text
    assert not Job.objects.exists()


def test_everything_typed_is_kept_when_one_answer_is_wrong(desk: Client) -> None:
    text = desk.post(reverse("book-in"), form(phone="123", says="Creaks <uphill>", rack="on")).text

    for kept in ('value="123"', "Creaks &lt;uphill&gt;", 'value="Jana Field"', 'value="20"'):
        assert kept in text
    assert is_checked(text, "steering", "quill")


def test_a_bike_without_derailleur_has_no_front_mech_whatever_was_sent(desk: Client) -> None:
    job = book(desk, front_mech="on", sprockets="11")

    assert job.bike.traits["front_mech"] is False
    assert job.bike.traits["sprockets"] == 1


def test_the_form_asks_for_every_trait_the_route_knows(otto: Person) -> None:
    fields = BookInForm(shop=otto.workshop).fields

    assert {field.key for field in FIELDS} <= set(fields)


def test_a_shop_that_never_opens_says_so_instead_of_promising(desk: Client, otto: Person) -> None:
    otto.workshop.weekly_hours = {}
    otto.workshop.save()

    shown = desk.post(reverse("book-in-ready"), form())
    answer = desk.post(reverse("book-in"), form())

    assert shown.status_code == 200
    assert answer.status_code == 422
    assert "look at opening hours and closures" in answer.text
    assert not Job.objects.exists()


@pytest.mark.parametrize("bike_id", ["nonsense", "00000000-0000-4000-8000-000000000000"])
def test_a_bike_nobody_knows_is_taken_for_a_new_one(desk: Client, bike_id: str) -> None:
    job = book(desk, bike_id=bike_id, bike_shown=bike_id)

    assert job.bike.words == "moss-green city bike, 8-speed hub"


def test_an_address_given_at_the_second_visit_is_kept(desk: Client, otto: Person) -> None:
    job = take_in(by=otto)

    book(desk, email="jana@example.org")
    book(desk, email="")

    job.customer.refresh_from_db()
    assert job.customer.email == "jana@example.org"
