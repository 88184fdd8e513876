"""
How to mix and heat a cleaning bath, and which parts must stay out of it.

What is not known stays out. The label of the cleaner and the maker of the part come first.
"""

import re
from typing import Final

from shopfloor.trade.tables import Row, table
from shopfloor.words import gettext as _

# Heat that one litre of water takes up for one kelvin.
_JOULES_PER_LITRE_K: Final = 4186.0
ACCEPT: Final = "accept"
CAUTION: Final = "caution"
REFUSE: Final = "refuse"
# The strictest rule that speaks of a part decides.
_STRICTEST: Final = (REFUSE, CAUTION, ACCEPT)


class CannotMix(ValueError):
    """This bath cannot be made so."""


class UnknownItem(ValueError):
    """No rule here speaks of such a part."""


def concentrate_l(
    *, total_l: float, ratio: str | None = None, percent_v: float | None = None
) -> float:
    """
    Litres of concentrate in a bath.

    total_l    litres of bath, water and concentrate together
    ratio      1:R, one part to R parts of water; 1:10 is 9.09 %, not 10 %
    percent_v  or: percent of the volume

    Raises CannotMix. Some labels mean R parts in all: read the label.
    """
    if (ratio is None) == (percent_v is None):
        raise CannotMix(_("Give either the ratio, as in 1:20, or the percentage."))
    if percent_v is not None:
        return total_l * percent_v / 100
    found = re.fullmatch(r"\s*(\d+(?:[.,]\d+)?)\s*[:/]\s*(\d+(?:[.,]\d+)?)\s*", ratio or "")
    if found is None:
        raise CannotMix(
            _("“{ratio}” is not a ratio: write it as on the label, as in 1:20.").format(ratio=ratio)
        )
    concentrate, water = (float(part.replace(",", ".")) for part in found.groups())
    if concentrate <= 0:
        raise CannotMix(_("A ratio needs at least some concentrate, as in 1:20."))
    return total_l * concentrate / (concentrate + water)


def top_up_l(*, bath_l: float, current_pct: float, target_pct: float) -> float:
    """
    Litres of pure concentrate that bring a bath to its strength.

    Raises CannotMix when it is strong enough already. Source: mixing rule C1 V1 + x = C2 (V1 + x).
    """
    if target_pct >= 100:
        raise CannotMix(_("A bath is mostly water: the strength wanted must be below 100 %."))
    if target_pct < current_pct:
        raise CannotMix(_("The bath is stronger than wanted: add water instead of concentrate."))
    return bath_l * (target_pct - current_pct) / (100 - target_pct)


def heating_minutes(*, litres: float, rise_c: float, watts: float) -> float:
    """
    Minutes to warm a bath, losses left out.

    rise_c  kelvin from now to the wanted temperature
    """
    return litres * _JOULES_PER_LITRE_K * rise_c / watts / 60


def bath_rule(item: str) -> Row:
    """
    The strictest rule that speaks of a part; its “answer” is accept, caution or refuse.

    item  the part in words, as in “steel cassette sprocket”; what stands after “without” is not
          on it

    Raises UnknownItem. Common practice, tables/bath_rules.json.
    """
    # Of several parts in one sentence each is asked for, so that none lets another in.
    told = [_words(part) for part in (item, *re.split("[,;.]", item))]
    speaking = [row for row in table("bath_rules") if any(_speaks(row, words) for words in told)]
    if not speaking:
        raise UnknownItem(
            _(
                "No rule here speaks of “{item}”: leave it out of the bath until its maker allows"
                " it, or name its material, as in bare steel bolt."
            ).format(item=item)
        )
    return min(speaking, key=lambda row: _STRICTEST.index(row["answer"]))


def _speaks(row: Row, words: set[str]) -> bool:
    return any(set(group.split()) <= words for group in row["words"]) and not any(
        set(group.split()) <= words for group in row.get("unless", ())
    )


def _words(item: str) -> set[str]:
    """The words of an item, singular; those it is said to be without carry a minus."""
    text = item.lower().replace("caliper", "calliper").replace("-", " ")
    told: set[str] = set()
    absent = False
    for word in re.findall(r"[a-z]+|[,;.]", text):
        if word in {",", ";", "."}:
            absent = False
        elif word in {"without", "no"}:
            absent = True
        elif word not in {"and", "or", "the", "a", "of", "with"}:
            told.add(f"-{_singular(word)}" if absent else _singular(word))
    return told


def _singular(word: str) -> str:
    if word.endswith("ies"):
        return word[:-3] + "y"
    if word.endswith(("ss", "us", "is")) or len(word) < 4:
        return word
    if word.endswith(("shes", "ches", "xes")):
        return word[:-2]
    return word.removesuffix("s")
