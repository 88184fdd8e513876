"""{{ minor|money:"GBP" }}: whole minor units of a currency as people write them, £12.50."""

from django import template

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
# ISO 4217, "minor unit" column; every currency not named here has two places (from memory).
PLACES = {"JPY": 0, "KRW": 0, "ISK": 0, "HUF": 2, "BHD": 3, "KWD": 3, "TND": 3}
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
    places = PLACES.get(code, 2)
    whole, rest = divmod(abs(int(minor)), 10**places)
    fraction = f".{rest:0{places}d}" if places else ""
    sign = MINUS if int(minor) < 0 else ""
    return f"{sign}{SYMBOLS.get(code, code + ' ')}{whole:,}{fraction}"


@register.filter
def percent(basis_points: int | None) -> str:
    """A rate in hundredths of a percent, as 20 % or 5.5 %."""
    if basis_points is None:
        return ""
    whole, rest = divmod(int(basis_points), 100)
    return f"{whole}.{rest:02d}".rstrip("0").rstrip(".") + " %"
