"""
Which days are bank holidays in a region, and what they are called.

Suggestions for the shop to confirm: local, municipal and one-off days may be missing.
"""

from collections.abc import Iterable
from datetime import date
from functools import lru_cache
from typing import Final

import holidays

LANGUAGES: Final = ("en_GB", "en_US")

REGIONS: Final[dict[str, str]] = {
    "GB-ENG": "England",
    "GB-WLS": "Wales",
    "GB-SCT": "Scotland",
    "GB-NIR": "Northern Ireland",
    "IE": "Ireland",
    "AT": "Austria",
    "BE": "Belgium",
    "DK": "Denmark",
    "FI": "Finland",
    "IT": "Italy",
    "LU": "Luxembourg",
    "NL": "Netherlands",
    "NO": "Norway",
    "NZ": "New Zealand",
    "PL": "Poland",
    "PT": "Portugal",
    "SE": "Sweden",
    "FR": "France",
    "FR-57": "France, Moselle",
    "FR-6AE": "France, Alsace",
    "DE-BB": "Germany, Brandenburg",
    "DE-BE": "Germany, Berlin",
    "DE-BW": "Germany, Baden-Württemberg",
    "DE-BY": "Germany, Bavaria",
    "DE-HB": "Germany, Bremen",
    "DE-HE": "Germany, Hesse",
    "DE-HH": "Germany, Hamburg",
    "DE-MV": "Germany, Mecklenburg-Vorpommern",
    "DE-NI": "Germany, Lower Saxony",
    "DE-NW": "Germany, North Rhine-Westphalia",
    "DE-RP": "Germany, Rhineland-Palatinate",
    "DE-SH": "Germany, Schleswig-Holstein",
    "DE-SL": "Germany, Saarland",
    "DE-SN": "Germany, Saxony",
    "DE-ST": "Germany, Saxony-Anhalt",
    "DE-TH": "Germany, Thuringia",
    "ES-AN": "Spain, Andalusia",
    "ES-AR": "Spain, Aragon",
    "ES-AS": "Spain, Asturias",
    "ES-CB": "Spain, Cantabria",
    "ES-CL": "Spain, Castile and León",
    "ES-CM": "Spain, Castile-La Mancha",
    "ES-CN": "Spain, Canary Islands",
    "ES-CT": "Spain, Catalonia",
    "ES-EX": "Spain, Extremadura",
    "ES-GA": "Spain, Galicia",
    "ES-IB": "Spain, Balearic Islands",
    "ES-MC": "Spain, Murcia",
    "ES-MD": "Spain, Madrid",
    "ES-NC": "Spain, Navarre",
    "ES-PV": "Spain, Basque Country",
    "ES-RI": "Spain, La Rioja",
    "ES-VC": "Spain, Valencia",
    "US": "United States",
    "US-CA": "United States, California",
    "US-MA": "United States, Massachusetts",
    "US-NY": "United States, New York",
    "AU-ACT": "Australia, Capital Territory",
    "AU-NSW": "Australia, New South Wales",
    "AU-NT": "Australia, Northern Territory",
    "AU-QLD": "Australia, Queensland",
    "AU-SA": "Australia, South Australia",
    "AU-TAS": "Australia, Tasmania",
    "AU-VIC": "Australia, Victoria",
    "AU-WA": "Australia, Western Australia",
}


class UnknownRegion(ValueError):
    """No bank holidays are known for the region."""


def bank_holidays(region: str, years: Iterable[int]) -> dict[date, str]:
    """
    The public holidays of a region by date, with their English names.

    region  country, or country and part of it, as GB-SCT

    Raises UnknownRegion.
    """
    found: dict[date, str] = {}
    for year in years:
        found |= _of_year(region, year)
    return found


def is_bank_holiday(region: str, on: date) -> bool:
    """Whether a date is a public holiday there. Raises UnknownRegion."""
    return on in _of_year(region, on.year)


@lru_cache(maxsize=256)
def _of_year(region: str, year: int) -> dict[date, str]:
    country, _, part = region.partition("-")
    language = _english(country)
    try:
        days = holidays.country_holidays(
            country, subdiv=part or None, years=year, expand=False, language=language
        )
    except NotImplementedError as unknown:
        raise UnknownRegion(
            f"No bank holidays are known for “{region}”: use a code such as GB-ENG or DE-BY."
        ) from unknown
    return dict(days.items())


def _english(country: str) -> str | None:
    try:
        spoken = holidays.country_holidays(country).supported_languages
    except NotImplementedError:
        return None
    return next((language for language in LANGUAGES if language in spoken), None)
