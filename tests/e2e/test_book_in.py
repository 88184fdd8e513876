"""Promise: book-in says at once when the bike will be ready, and loses nothing that was typed."""

import pytest
from playwright.sync_api import Page, expect

from tests.e2e.shop import Shop

pytestmark = pytest.mark.browser
WORDS = "Brass-coloured folding bike, hub gear"


def choose(page: Page, words: str) -> None:
    """The radio button itself is hidden behind its label."""
    page.get_by_text(words, exact=True).first.click()


def fill_in(page: Page, phone: str) -> None:
    page.goto("/jobs/new/")
    page.get_by_label("Telephone").fill(phone)
    page.get_by_label("Name", exact=True).fill("Orla Finch")
    page.get_by_label("The bike in words").fill(WORDS)
    choose(page, "City bike")
    expect(page.locator("#traits fieldset").first).to_be_visible()
    page.get_by_label("What the rider says").fill("Chain falls off <every> week & it squeaks.")


def test_the_ready_day_follows_the_service_while_it_is_chosen(desk: Page):
    fill_in(desk, "07700 900712")
    promised = desk.locator("#agree .promised")
    expect(promised).to_contain_text("VAT included")
    standard = promised.text_content()

    desk.locator("label[for=service-safety]").click()
    expect(promised).not_to_have_text(standard)
    day = promised.locator(".figure").text_content()
    desk.locator("label[for=service-full]").click()

    expect(promised.locator(".figure")).not_to_have_text(day)


def test_a_number_that_cannot_be_right_keeps_what_was_typed(desk: Page, shop: Shop):
    fill_in(desk, "0770")
    desk.get_by_role("button", name="Take the bike in").click()

    expect(desk.locator("#errors")).to_contain_text("Telephone")
    expect(desk.get_by_label("Telephone")).to_have_value("0770")
    expect(desk.get_by_label("The bike in words")).to_have_value(WORDS)
    expect(desk.get_by_label("What the rider says")).to_have_value(
        "Chain falls off <every> week & it squeaks."
    )

    desk.get_by_label("Telephone").fill("07700 900712")
    desk.get_by_role("button", name="Take the bike in").click()

    expect(desk.locator("h1")).to_contain_text(WORDS)
    taken_in = f"Job.objects.filter(bike__words='{WORDS}', customer__name='Orla Finch').count()"
    assert shop.ask(taken_in) == "1"
