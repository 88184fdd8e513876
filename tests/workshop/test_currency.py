"""An amount has the same places in a text to the customer and on every page."""

import pytest

from shopfloor.outbox.wording import money_words
from shopfloor.workshop.templatetags.money import money


@pytest.mark.parametrize(
    ("minor", "currency", "text", "page"),
    [
        (1250, "GBP", "£12.50", "£12.50"),
        (5, "EUR", "0.05 €", "€0.05"),
        (1250, "JPY", "JPY 1250", "¥1,250"),
        (1250, "CLP", "CLP 1250", "CLP 1,250"),  # ISO 4217 minor unit 0, from memory
        (1250, "KWD", "KWD 1.250", "KWD 1.250"),  # ISO 4217 minor unit 3, from memory
    ],
)
def test_places_are_the_same_in_texts_and_on_pages(
    minor: int, currency: str, text: str, page: str
) -> None:
    assert money_words(minor, currency) == text
    assert money(minor, currency) == page
