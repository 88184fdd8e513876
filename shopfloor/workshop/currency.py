"""How many places a currency has; pure, so that texts and pages write the same amount."""

# ISO 4217, "minor unit" column; every currency not named here has two places (from memory).
PLACES = {"JPY": 0, "KRW": 0, "ISK": 0, "CLP": 0, "BHD": 3, "KWD": 3, "TND": 3}


def places_of(currency: str) -> int:
    """Decimal places of an ISO 4217 code; two where nothing else is known."""
    return PLACES.get(currency.upper(), 2)


def split_minor(minor: int, currency: str) -> tuple[int, str]:
    """
    Whole units and the rest as written after them: 1250 "GBP" → 12, ".50"; "JPY" → 1250, "".

    minor     whole minor units, not negative
    currency  ISO 4217 code
    """
    places = places_of(currency)
    whole, rest = divmod(minor, 10**places)
    return whole, f".{rest:0{places}d}" if places else ""
