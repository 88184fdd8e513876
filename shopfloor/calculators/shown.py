"""An answer as the page shows it: figures with their units, verdicts, sentences and sources."""

from dataclasses import dataclass
from typing import Any

from shopfloor.trade.calculators.declare import Calculator, Given, Part
from shopfloor.trade.calculators.sources import KINDS
from shopfloor.words import gettext as _

VERDICTS = ("sound", "watch", "renew", "unsafe", "measure again")


@dataclass(frozen=True)
class Figure:
    """One value of an answer; the label is empty where there is only one."""

    value: str
    unit: str = ""
    label: str = ""


@dataclass(frozen=True)
class Source:
    """Where a formula or a row is from, and what kind of source that is."""

    told: str
    kind: str


@dataclass(frozen=True)
class Shown:
    """
    All that stands in the answer's panel.

    verdict  one of the five, drawn as a chip; empty for everything else
    items    of an answer that is a list of names
    """

    figures: list[Figure]
    items: list[str]
    verdict: str
    says: list[str]
    sources: list[Source]


def show(calculator: Calculator, given: Given, result: Any) -> Shown:
    """The answer in the language of the moment."""
    verdict = result if result in VERDICTS and isinstance(result, str) else ""
    sources = calculator.sources(given, result)
    return Shown(
        figures=[] if verdict else _figures(calculator, result),
        items=_items(calculator, result),
        verdict=verdict,
        says=calculator.say(given, result),
        sources=[Source(_(told), _(KINDS[kind])) for told, kind in sources],
    )


def _items(calculator: Calculator, result: Any) -> list[str]:
    if calculator.answer.item is None:
        return []
    return [calculator.answer.item(one) for one in result]


def _figures(calculator: Calculator, result: Any) -> list[Figure]:
    answer = calculator.answer
    if answer.item is not None:
        return [] if result else [Figure(_("none"))]
    if answer.words is not None and not isinstance(result, dict | list):
        return [Figure(_(answer.words[result]))]
    if answer.parts:
        return [_part(part, result[part.key]) for part in answer.parts if part.key in result]
    return [Figure(_value(result, answer.digits), _(answer.unit) if answer.unit else "")]


def _part(part: Part, value: Any) -> Figure:
    unit = _(part.unit) if part.unit else ""
    return Figure(_value(value, part.digits), unit, _(part.label))


def _value(value: Any, digits: int) -> str:
    if isinstance(value, list | tuple):
        return ", ".join(_item(item, digits) for item in value) or _("none")
    if isinstance(value, str):
        return value
    return f"{value:.{digits}f}"


def _item(item: Any, digits: int) -> str:
    if isinstance(item, list | tuple):
        return " → ".join(map(str, item))
    return item if isinstance(item, str) else f"{item:.{digits}f}".rstrip("0").rstrip(".")
