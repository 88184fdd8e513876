"""
Which days are bank holidays in a region, and what they are called.

Suggestions for the shop to confirm: local, municipal and one-off days may be missing.
"""

from collections.abc import Iterable
from datetime import date
from functools import lru_cache
from typing import Final

import holidays

from shopfloor.words import gettext as _
from shopfloor.words import gettext_noop

LANGUAGES: Final = ("en_GB", "en_US")

REGIONS: Final[dict[str, str]] = {
    "GB-ENG": gettext_noop("England"),
    "GB-WLS": gettext_noop("Wales"),
    "GB-SCT": gettext_noop("Scotland"),
    "GB-NIR": gettext_noop("Northern Ireland"),
    "IE": gettext_noop("Ireland"),
    "AT": gettext_noop("Austria"),
    "BE": gettext_noop("Belgium"),
    "DK": gettext_noop("Denmark"),
    "FI": gettext_noop("Finland"),
    "IT": gettext_noop("Italy"),
    "LU": gettext_noop("Luxembourg"),
    "NL": gettext_noop("Netherlands"),
    "NO": gettext_noop("Norway"),
    "NZ": gettext_noop("New Zealand"),
    "PL": gettext_noop("Poland"),
    "PT": gettext_noop("Portugal"),
    "SE": gettext_noop("Sweden"),
    "FR": gettext_noop("France"),
    "FR-57": gettext_noop("France, Moselle"),
    "FR-6AE": gettext_noop("France, Alsace"),
    "DE-BB": gettext_noop("Germany, Brandenburg"),
    "DE-BE": gettext_noop("Germany, Berlin"),
    "DE-BW": gettext_noop("Germany, Baden-Württemberg"),
    "DE-BY": gettext_noop("Germany, Bavaria"),
    "DE-HB": gettext_noop("Germany, Bremen"),
    "DE-HE": gettext_noop("Germany, Hesse"),
    "DE-HH": gettext_noop("Germany, Hamburg"),
    "DE-MV": gettext_noop("Germany, Mecklenburg-Vorpommern"),
    "DE-NI": gettext_noop("Germany, Lower Saxony"),
    "DE-NW": gettext_noop("Germany, North Rhine-Westphalia"),
    "DE-RP": gettext_noop("Germany, Rhineland-Palatinate"),
    "DE-SH": gettext_noop("Germany, Schleswig-Holstein"),
    "DE-SL": gettext_noop("Germany, Saarland"),
    "DE-SN": gettext_noop("Germany, Saxony"),
    "DE-ST": gettext_noop("Germany, Saxony-Anhalt"),
    "DE-TH": gettext_noop("Germany, Thuringia"),
    "ES-AN": gettext_noop("Spain, Andalusia"),
    "ES-AR": gettext_noop("Spain, Aragon"),
    "ES-AS": gettext_noop("Spain, Asturias"),
    "ES-CB": gettext_noop("Spain, Cantabria"),
    "ES-CL": gettext_noop("Spain, Castile and León"),
    "ES-CM": gettext_noop("Spain, Castile-La Mancha"),
    "ES-CN": gettext_noop("Spain, Canary Islands"),
    "ES-CT": gettext_noop("Spain, Catalonia"),
    "ES-EX": gettext_noop("Spain, Extremadura"),
    "ES-GA": gettext_noop("Spain, Galicia"),
    "ES-IB": gettext_noop("Spain, Balearic Islands"),
    "ES-MC": gettext_noop("Spain, Murcia"),
    "ES-MD": gettext_noop("Spain, Madrid"),
    "ES-NC": gettext_noop("Spain, Navarre"),
    "ES-PV": gettext_noop("Spain, Basque Country"),
    "ES-RI": gettext_noop("Spain, La Rioja"),
    "ES-VC": gettext_noop("Spain, Valencia"),
    "US": gettext_noop("United States"),
    "US-CA": gettext_noop("United States, California"),
    "US-MA": gettext_noop("United States, Massachusetts"),
    "US-NY": gettext_noop("United States, New York"),
    "AU-ACT": gettext_noop("Australia, Capital Territory"),
    "AU-NSW": gettext_noop("Australia, New South Wales"),
    "AU-NT": gettext_noop("Australia, Northern Territory"),
    "AU-QLD": gettext_noop("Australia, Queensland"),
    "AU-SA": gettext_noop("Australia, South Australia"),
    "AU-TAS": gettext_noop("Australia, Tasmania"),
    "AU-VIC": gettext_noop("Australia, Victoria"),
    "AU-WA": gettext_noop("Australia, Western Australia"),
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
    country, _dash, part = region.partition("-")
    language = _english(country)
    try:
        days = holidays.country_holidays(
            country, subdiv=part or None, years=year, expand=False, language=language
        )
    except NotImplementedError as unknown:
        raise UnknownRegion(
            _(
                "No bank holidays are known for “{region}”: use a code such as GB-ENG or DE-BY."
            ).format(region=region)
        ) from unknown
    return dict(days.items())


def _english(country: str) -> str | None:
    try:
        spoken = holidays.country_holidays(country).supported_languages
    except NotImplementedError:
        return None
    return next((language for language in LANGUAGES if language in spoken), None)
