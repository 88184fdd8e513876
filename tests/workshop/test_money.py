"""Money as people read it: exact, with its symbol, never through a float."""

import pytest

from shopfloor.workshop.templatetags.money import money, percent


# Symbols and places: ISO 4217 list of minor units; grouping is common practice in English text.
@pytest.mark.parametrize(
    ("minor", "currency", "shown"),
    [
        (1250, "GBP", "£12.50"),
        (5, "GBP", "£0.05"),
        (0, "EUR", "€0.00"),
        (125000, "USD", "$1,250.00"),
        (-4800, "GBP", "−£48.00"),
        (-5, "EUR", "−€0.05"),
        (1500, "JPY", "¥1,500"),
        (12345, "KWD", "KWD 12.345"),
        (9900, "CHF", "CHF 99.00"),
        (9900, "gbp", "£99.00"),
    ],
)
def test_minor_units_are_written_with_symbol_and_places(minor, currency, shown):
    assert money(minor, currency) == shown


def test_a_large_amount_keeps_its_last_penny():
    assert money(9_007_199_254_740_993, "GBP") == "£90,071,992,547,409.93"


def test_no_amount_shows_nothing():
    assert money(None, "GBP") == ""


@pytest.mark.parametrize(
    ("basis_points", "shown"), [(2000, "20 %"), (550, "5.5 %"), (0, "0 %"), (1925, "19.25 %")]
)
def test_a_rate_is_written_in_percent(basis_points, shown):
    assert percent(basis_points) == shown
