"""
When should this bike come back, and why?

Pure: the service it had, what was left to watch, and dates. The intervals are common practice for
a bike that is ridden in all weathers; the maker's handbook comes first, and the sheet says so.
"""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from shopfloor.words import gettext as _
from shopfloor.words import gettext_noop, month

# Months until the next visit: common practice, no citable source.
AFTER_SAFETY_CHECK = 6
AFTER_SERVICE = 12
# An electric bike is heavier and faster, and wears chain and pads sooner; common practice.
ELECTRIC = 6
TO_WATCH = 3
USUAL = gettext_noop("A year of riding, or 3,000 km if that comes first.")
USUAL_HALF = gettext_noop("Half a year of riding, or 1,500 km if that comes first.")
ELECTRIC_WHY = gettext_noop(
    "With a motor chain and brakes wear sooner: half a year, or 1,500 km if that comes first."
)
WATCH_WHY = gettext_noop("It still has some wear left, but not until the next service.")


def next_services(
    *,
    service: str,
    traits: Mapping[str, Any],
    watch: Iterable[Mapping[str, Any]],
    released_on: date,
) -> list[dict[str, str]]:
    """
    What to have done next, the soonest first: `{"what", "when", "why"}` in words.

    watch  rows of the sheet that carry the verdict “watch”, or one that stands
    """
    found = []
    worn = [str(row["what"]) for row in watch if row["verdict"] == "watch"]
    if worn:
        what = _("Look again at: {parts}").format(parts=", ".join(worn))
        found.append(_line(what, TO_WATCH, _(WATCH_WHY), released_on))
    months, why = _interval(service, traits)
    found.append(_line(_("Next service"), months, _(why), released_on))
    return found


def _interval(service: str, traits: Mapping[str, Any]) -> tuple[int, str]:
    if traits.get("kind") == "ebike":
        return ELECTRIC, ELECTRIC_WHY
    if service == "safety":
        return AFTER_SAFETY_CHECK, USUAL_HALF
    return AFTER_SERVICE, USUAL


def _line(what: str, months: int, why: str, released_on: date) -> dict[str, str]:
    years, place = divmod(released_on.month - 1 + months, 12)
    then = date(released_on.year + years, place + 1, 1)
    when = _("by {month} {year}").format(month=month(then), year=then.year)
    return {"what": what, "when": when, "why": why}
