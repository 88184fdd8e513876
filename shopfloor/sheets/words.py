"""
How does the service sheet write a number, a limit, a moment, a caution?

Pure: values in, words out.
"""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from shopfloor.jobs.words import limit_in_words, number
from shopfloor.words import day_and_month, gettext_noop
from shopfloor.words import gettext as _

NO_LIMIT = gettext_noop("as marked on the part")


def amount(value: float | None, unit: str, drawn: float | None = None, as_unit: str = "") -> str:
    """
    A reading as written on the tool; where the limits are in another unit, that value beside it.

    drawn  the same reading in `as_unit`, the unit of the limits
    """
    if value is None:
        return _("loose")
    shown = _with_unit(number(value), unit)
    if drawn is None or not as_unit or as_unit == unit:
        return shown
    return f"{shown} ({_with_unit(number(round(drawn, 2)), as_unit)})"


def _with_unit(text: str, unit: str) -> str:
    """Number and unit stay on one line: a no-break space stands between them."""
    return f"{text}\u00a0{unit}" if unit else text


def limit(ask: Mapping[str, Any]) -> str:
    """The rule of a reading in words."""
    return limit_in_words(ask, gap="\u00a0") or _(NO_LIMIT)


def moment(at: datetime | None, zone: str) -> str:
    """Day and time as the shop's clock shows them: 3 March 2026, 16:00."""
    if at is None:
        return ""
    local = at.astimezone(ZoneInfo(zone))
    return f"{day_and_month(local)} {local:%Y, %H:%M}"


def day(at: datetime | None, zone: str) -> str:
    """The day alone: 3 March 2026."""
    return moment(at, zone).partition(",")[0]


# Common practice of the trade, worded here; the maker's handbook comes before all of it.
FIRST_RIDE = {
    "title": gettext_noop("After the first ride"),
    "text": gettext_noop(
        "Cables, spokes and clamped parts settle. After the first hour of riding check that "
        "wheels, handlebar, stem, saddle and pedals are tight and both brakes bite early. "
        "Bring the bike back if anything has moved, rubs or creaks."
    ),
}
EVERY_RIDE = {
    "title": gettext_noop("Before every ride"),
    "text": gettext_noop(
        "Both brakes hold, both wheels are clamped, the tyres are hard, nothing rattles. Do "
        "not ride a bike that fails one of these."
    ),
}
HANDBOOK = {
    "title": gettext_noop("What comes first"),
    "text": gettext_noop(
        "The mark on a part and its maker's handbook come before the limits on this sheet. "
        "Work on brakes, steering, carbon parts and electric drives belongs in trained hands."
    ),
}
BED_IN_OPEN = {
    "title": gettext_noop("Bed in the disc brakes before you rely on them"),
    "text": gettext_noop(
        "New pads or rotors brake weakly at first. On a clear road away from traffic slow down "
        "firmly from a brisk pace to walking pace, 20 to 30 times with each brake, without "
        "locking a wheel. Allow longer stops until then. Keep oil, polish and fingers off the "
        "rotors; they get hot."
    ),
}
BED_IN_DONE = {
    "title": gettext_noop("Disc brakes"),
    "text": gettext_noop(
        "The brakes were bedded in at the workshop. They reach their full bite in the first "
        "rides: allow longer stops until then. Keep oil, polish and fingers off the rotors; "
        "they get hot."
    ),
}
BATTERY = {
    "title": gettext_noop("Battery"),
    "text": gettext_noop(
        "Charge only with the charger that belongs to it, not unattended and not where it "
        "blocks the way out. A battery that is dented, swollen, hot or smells goes outside, "
        "away from anything that burns, and is never charged."
    ),
}


def cautions(traits: Mapping[str, Any], *, bedded_in: bool, rideable: bool) -> list[dict[str, str]]:
    """What the rider is to know, for this bike; nothing about riding when it must not be ridden."""
    found = [FIRST_RIDE, EVERY_RIDE] if rideable else []
    if rideable and traits.get("brakes") == "disc":
        found.append(BED_IN_DONE if bedded_in else BED_IN_OPEN)
    if traits.get("kind") == "ebike":
        found.append(BATTERY)
    return [{key: _(text) for key, text in one.items()} for one in [*found, HANDBOOK]]
