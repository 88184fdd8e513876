"""{{ minor|money:"GBP" }}: whole minor units of a currency as people write them, £12.50."""

from django import template

from shopfloor.workshop.currency import split_minor

register = template.Library()

SYMBOLS = {
    "GBP": "£",
    "EUR": "€",
    "USD": "$",
    "AUD": "A$",
    "CAD": "C$",
    "NZD": "NZ$",
    "JPY": "¥",
    "CHF": "CHF ",
    "DKK": "DKK ",
    "NOK": "NOK ",
    "SEK": "SEK ",
    "PLN": "PLN ",
    "CZK": "CZK ",
}
MINUS = "−"


@register.filter
def money(minor: int | None, currency: str) -> str:
    """
    An amount with its symbol, thousands grouped, no rounding: 125000 "GBP" → £1,250.00.

    minor     whole minor units (pence, cents); None gives an empty string
    currency  ISO 4217 code; a code without a symbol here is written out
    """
    if minor is None:
        return ""
    code = currency.upper()
    whole, fraction = split_minor(abs(int(minor)), code)
    sign = MINUS if int(minor) < 0 else ""
    return f"{sign}{SYMBOLS.get(code, code + ' ')}{whole:,}{fraction}"


@register.filter
def percent(basis_points: int | None) -> str:
    """A rate in hundredths of a percent, as 20 % or 5.5 %."""
    if basis_points is None:
        return ""
    whole, rest = divmod(int(basis_points), 100)
    return f"{whole}.{rest:02d}".rstrip("0").rstrip(".") + " %"
