"""Money, percentages and spans of time as people write and read them."""

from datetime import timedelta

import pytest
from django.forms import ValidationError

from shopfloor.workshop.fields import HoursField, MoneyField, PercentField
from shopfloor.workshop.templatetags.spans import hours, since
from tests.factories import NOON


@pytest.mark.parametrize(
    ("typed", "minor"),
    [("25", 2500), ("25.5", 2550), ("£25,50", 2550), ("1,250", 125000), ("1,250.75", 125075)],
)
def test_an_amount_is_read_as_written(typed: str, minor: int) -> None:
    assert MoneyField().clean(typed) == minor


@pytest.mark.parametrize("typed", ["25.505", "1,25,0", "-3", "lots", "9999999999", "1e5", "٣"])
def test_an_amount_that_is_none_is_refused(typed: str) -> None:
    with pytest.raises(ValidationError, match=r"Write it like 25 or 25\.50"):
        MoneyField().clean(typed)


def test_a_currency_without_pence_takes_whole_amounts() -> None:
    assert MoneyField(currency="JPY").clean("1,250") == 1250
    with pytest.raises(ValidationError, match=r"Write it like 25\."):
        MoneyField(currency="JPY").clean("12.50")


def test_an_amount_comes_back_as_it_is_written() -> None:
    assert MoneyField().prepare_value(2550) == "25.50"
    assert MoneyField(currency="JPY").prepare_value(1250) == "1250"
    assert PercentField().prepare_value(550) == "5.5"


@pytest.mark.parametrize(
    ("minutes", "words"),
    [(0, "a moment"), (59, "59 min"), (60, "1 h"), (2880, "2 days"), (-5, "a moment")],
)
def test_how_long_ago_in_one_unit(minutes: int, words: str) -> None:
    assert since(NOON, NOON - timedelta(minutes=minutes)) == words


def test_spans_of_work() -> None:
    assert (hours(95), hours(None)) == ("1 h 35 min", "")


@pytest.mark.parametrize("typed", ["24:00-05:00", "09:00-09:00", "nine to five", "09:00"])
def test_hours_that_no_clock_shows_are_refused(typed: str) -> None:
    with pytest.raises(ValidationError, match="is not a span of hours"):
        HoursField().clean(typed)


def test_hours_run_to_midnight_and_past_it() -> None:
    assert HoursField().clean("09:00-24:00") == [["09:00", "24:00"]]
    assert HoursField().clean("22:00–02:00") == [["22:00", "02:00"]]
