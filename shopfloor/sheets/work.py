"""
Which work does the sheet list: done and by whom, added with agreement, left open?

Takes route, progress, state and rows; reads no database.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from shopfloor.approvals.models import OfferLine
from shopfloor.approvals.pricing import vat_on
from shopfloor.journal.places import is_of_step, tick_place
from shopfloor.journal.progress import Progress
from shopfloor.journal.state import JobState
from shopfloor.sheets.readings import Names
from shopfloor.workshop.templatetags.money import money


def done_steps(route: Sequence[Mapping[str, Any]], done: Progress) -> list[Mapping[str, Any]]:
    """The steps that were done, in working order; handing over is the desk's own."""
    return [
        step
        for step in route
        if step["kind"] != "release" and done["steps"][step["key"]]["status"] == "done"
    ]


def doers(steps: Iterable[Mapping[str, Any]], state: JobState, names: Names) -> list[str]:
    """Who worked on these steps, each once."""
    keys = [step["key"] for step in steps]
    people = {
        head["by"]: None
        for key in keys
        for place, heads in state["places"].items()
        if is_of_step(place, key)
        for head in heads
    }
    return [names.people[person] for person in people if person in names.people]


def open_work(route: Sequence[Mapping[str, Any]], done: Progress) -> list[str]:
    """Steps of the route that were not done, by title; handing over is the desk's own."""
    return [
        step["title"]
        for step in route
        if step["kind"] != "release" and done["steps"][step["key"]]["status"] != "done"
    ]


def added_work(
    state: JobState, done: Progress, lines: Iterable[OfferLine], currency: str
) -> list[dict[str, Any]]:
    """What was agreed on the way, with its parts and prices; what cost nothing is a gift."""
    keys = {added["finding"]: [step["key"] for step in added["steps"]] for added in state["added"]}
    return [
        {
            "title": line.title,
            "reason": line.reason,
            "free": line.gross_minor == 0,
            "done": set(keys.get(str(line.finding), [])) <= set(done["done"]),
            **_prices(line, currency),
        }
        for line in lines
        if line.decision == "yes"
    ]


def _prices(line: OfferLine, currency: str) -> dict[str, Any]:
    """Parts, labour and all together, VAT included; rounded so that what is shown adds up."""
    net = [int(part.get("price_minor") or 0) for part in line.parts]
    gross = [with_vat(price, line.vat_rate_bp) for price in net]
    rest = line.gross_minor - sum(gross)
    if gross and not line.labour_minor:
        gross[-1], rest = gross[-1] + rest, 0
    return {
        "parts": [
            {"name": str(part.get("name", "")), "price": money(price, currency)}
            for part, price in zip(line.parts, gross, strict=True)
        ],
        "labour": money(rest, currency) if rest else "",
        "price": money(line.gross_minor, currency),
    }


def with_vat(net_minor: int, vat_rate_bp: int) -> int:
    """An amount with VAT in minor units, rounded half up; the rate in hundredths of a percent."""
    return net_minor + vat_on(net_minor, vat_rate_bp)


def is_ticked(state: JobState, step: str) -> bool:
    """Whether a step without readings is settled as done."""
    outcomes = {head["body"]["outcome"] for head in state["places"].get(tick_place(step), [])}
    return outcomes == {"done"}
